//! The workshop file: values in, errors out.
