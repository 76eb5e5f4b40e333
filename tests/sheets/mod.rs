//! Sheets: what is dimensioned, that a part can be rebuilt from its printed figures, and where things lie on paper.

mod hand_made;
mod planner;
