//! Properties of `safety` that hold for every input.
