//! The one test binary: each module a room of tests.

mod boards;
mod cases;
mod formulas;
mod notation;
mod paper;
mod reference;
mod shape;
mod tidy;
