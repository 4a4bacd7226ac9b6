//! What bench and order files say, before they are checked.
