//! Properties of `immersion` that hold for every input.
