//! The one test binary: each module a room of tests.

mod boards;
mod cases;
mod command;
mod formulas;
mod joinery;
mod fullsize;
mod notation;
mod paper;
mod reference;
mod shape;
mod sheets;
mod tidy;
mod wood;
