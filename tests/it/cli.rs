//! The built program, as a user types at it.
