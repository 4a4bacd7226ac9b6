//! Properties of `bath` that hold for every input.
