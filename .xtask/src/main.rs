//! Set-up, start and test.
fn main() {}
