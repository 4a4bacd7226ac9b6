//! Properties of `files` that hold for every input.
