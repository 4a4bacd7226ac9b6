//! What a recipe file says, before it is checked.
