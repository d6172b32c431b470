//! Opening files as they come, damaged ones too.
