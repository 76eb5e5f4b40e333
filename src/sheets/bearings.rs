//! Which way round a part is in place, written on its face view: the show face, what its upper and right edges look to, the
//! grain. Never beside the edge view, where left and right are other directions.

use super::frame::Area;
use super::part_layout::Layout;
use super::part_sheet::Drawing;
use super::part_words::{self as words, Words};
use crate::drawing::Anchor;
use crate::drawing::lettering::width_of;
use crate::drawing::text::written;
use crate::trade::Grain;

impl Drawing {
    pub(super) fn bearings(&mut self, words: &Words, layout: &Layout) {
        let part = words.part;
        let mut lines = vec!["SHOW FACE".to_owned()];
        if let Some(frame) = words.frame() {
            lines.push(format!("↑ {}", words::upper(frame.v)));
            lines.push(format!("→ {}", words::upper(frame.u)));
        }
        match part.grain {
            Grain::AlongU => lines.push("↔ GRAIN".to_owned()),
            Grain::AlongV => lines.push("↕ GRAIN".to_owned()),
            Grain::Free => {}
        }
        let on = &layout.on;
        let view = Area { low: on.datum, high: (on.x(part.width), on.y(part.height)) };
        let middle = ((view.low.0 + view.high.0) / 2.0, (view.low.1 + view.high.1) / 2.0);
        // Over, under or at the left of the face view, no further right than it reaches.
        let beside = Area { low: self.zone.low, high: (view.high.0.min(self.zone.high.0), self.zone.high.1) };
        // Where it is narrower than the words, as far as half of the way to the edge view.
        let wider = Area { high: ((view.high.0 + layout.edge_view) / 2.0, beside.high.1), ..beside };
        let places = [(3.5, view), (2.5, view), (2.5, beside), (2.5, wider)];
        for (height, area) in places {
            let width = lines.iter().map(|l| width_of(l, height, true)).fold(0.0, f64::max);
            let tall = 1.6 * height * (lines.len() - 1) as f64 + height;
            let Some(middle) = self.taken.inside_near((width, tall), area, middle) else { continue };
            let mut marks = Vec::new();
            for (i, text) in lines.iter().enumerate() {
                let y = middle.1 + tall / 2.0 - height - 1.6 * height * i as f64;
                marks.push(written((middle.0 - width / 2.0, y), text.clone(), height, Anchor::Start, true));
            }
            self.taken.add(&marks);
            self.labels.extend(marks);
            return;
        }
    }
}
