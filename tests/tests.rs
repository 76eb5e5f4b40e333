//! The one test binary: each module a room of tests.

mod cases;
mod command;
mod formulas;
mod notation;
mod paper;
mod reference;
mod tidy;
mod sheets;
//! The one test binary: a module for each room.

mod shape;
mod sheets;
mod tidy;
