//! The text of a boat file and where things stand in it.
