//! Positions, faces and events against JPL DE440 and published worked examples.
