//! The one test binary: a module for each room.

mod boards;
mod calibrate;
mod cases;
mod command;
mod cutting;
mod formulas;
mod fullsize;
mod jigs;
mod joinery;
mod lists;
mod loads;
mod nest;
mod nests;
mod notation;
mod paper;
mod reference;
mod revise;
mod shape;
mod sheets;
mod solid;
mod tidy;
mod timber;
mod whole;
mod wood;
