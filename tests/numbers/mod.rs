//! Numbers checked against published worked values, each with its source.
