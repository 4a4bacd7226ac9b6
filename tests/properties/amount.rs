//! Properties of `amount` that hold for every input.
