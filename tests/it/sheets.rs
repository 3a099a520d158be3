//! Printed sheets: well-formed, escaped, one page each.

mod browser;
mod invented;
