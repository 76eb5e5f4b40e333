//! Tabs that hold small parts, from the spec into values.

use num_traits::ToPrimitive;

use super::cutting::Solve;
use crate::diagnose::{Diagnostic, Faults, Place};
use crate::length::Length;
use crate::spec::language::CuttingShopSpec;
use crate::trade::money;

/// How a shop wants small parts held. The defaults are common practice: as wide as a 6 mm bit, a skin that a chisel cuts, a hand's span
/// apart, and for parts of less than about a foot by half a foot, which the vacuum of a table does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Tabs {
    pub place: Place,
    /// Along the edge.
    pub width: Length,
    /// Wood left under the bit.
    pub height: Length,
    /// Parts with less area than this have them, mm².
    pub below_mm2: f64,
    /// One for each such length of the outline.
    pub every: Length,
}

/// The tabs that a shop asks for; `None` for none.
pub(super) fn tabs(body: &CuttingShopSpec, shop: &str, length: Solve, faults: &mut Faults) -> Option<Tabs> {
    let asked = body.tabs.as_ref()?;
    if asked.wanted.as_ref().is_some_and(|flag| !flag.on) {
        return None;
    }
    let mut figure = |formula: &Option<_>, what: &str, usual: i64| match formula {
        Some(formula) => length(formula, &format!("{what} of the tabs of {shop}")),
        None => Some(Length::MM * usual),
    };
    let (width, height, every) = (
        figure(&asked.width, "width", 6),
        figure(&asked.height, "height", 1),
        figure(&asked.every, "every", 200),
    );
    let below_mm2 = match &asked.below {
        None => Some(0.05e6),
        Some(words) => {
            let found = money::area(&words.text)
                .and_then(|area| Some(area.to_f64()? * 1e6))
                .filter(|area| *area > 0.0);
            if found.is_none() {
                let message = format!("`{}` is not an area, as `0.05 m2` or `0.5 ft2`", words.text.trim());
                faults.push(
                    Diagnostic::error("quantity-notation", words.place, message)
                        .propose("write a number and its unit, as the reference shows"),
                );
            }
            found
        }
    };
    Some(Tabs { place: asked.place, width: width?, height: height?, below_mm2: below_mm2?, every: every? })
}
