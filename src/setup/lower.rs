//! Reading.
