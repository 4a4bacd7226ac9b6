//! Properties of `reference` that hold for every input.
