//! Properties of `mesh` that hold for every input.
