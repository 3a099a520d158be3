//! astro-float as the judge: how many digits our f64 closed forms keep.
