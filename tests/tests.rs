mod formulas;
mod notation;
