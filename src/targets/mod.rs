//! # targets: what there is to see, whether it shows, and why.
