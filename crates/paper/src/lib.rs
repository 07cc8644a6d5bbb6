//! What leaves the office: a finished model in, bytes out.
