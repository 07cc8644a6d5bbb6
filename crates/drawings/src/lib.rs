//! Pictures: a finished model in, SVG text out. Writes no files.
