//! One file a hazard family; the list of them is the registry.
