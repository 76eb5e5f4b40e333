//! The one test binary: each module a room of tests.

mod boards;
mod cases;
mod command;
mod formulas;
mod fullsize;
mod joinery;
mod notation;
mod paper;
mod reference;
mod shape;
mod sheets;
mod tidy;
mod wood;
