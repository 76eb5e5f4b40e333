//! The one test binary: a module for each room.

mod shape;
