//! Surface preparation by barrel tumbling.
