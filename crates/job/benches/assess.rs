//! Not filled yet.
fn main() {}
