//! How one text is laid over another: a file over the files it includes, an assembly over its template.
//!
//! - Groups and maps are merged key by key; what lies on top wins.
//! - `joints`, `require` and `steps` are added to. Every other list, and every single value, is replaced.
//! - A key with `~` on top takes the key below away.
//! - Keys that exclude one another give way together: where `width` is put over `left` and `right`, both go, for
//!   nobody can say which was meant to stay; where `right` is put over `left` and `right`, `left` stays.

use std::collections::BTreeMap;

use super::node::{Key, Node, NodeKind};
use super::read::{Kind, SectionRow};

/// Lays `top` over `below`; `kind` is what the language says they are.
pub fn lay_over(below: Node, top: Node, kind: &Kind) -> Node {
    let Node { place, kind: top_kind } = top;
    let merged = match (below.kind, top_kind, kind) {
        // `parts:` with nothing after it: all that stood there may be commented out.
        (under, NodeKind::Nothing { written: false }, Kind::Section(_) | Kind::Named(_) | Kind::List(_)) => {
            return Node { place: below.place, kind: under };
        }
        (NodeKind::Map(under), NodeKind::Map(over), Kind::Section(row)) => {
            NodeKind::Map(merge_section(under, over, row))
        }
        (NodeKind::Map(under), NodeKind::Map(over), Kind::Named(inner)) => {
            NodeKind::Map(merge_entries(under, over, |_, below, top| Some(lay_over(below, top, inner))))
        }
        (_, over, _) => over,
    };
    Node { place, kind: merged }
}

fn merge_section(mut under: Vec<(Key, Node)>, over: Vec<(Key, Node)>, row: &SectionRow) -> Vec<(Key, Node)> {
    for group in rival_keys(row.name) {
        let given = |entries: &[(Key, Node)], key: &str| entries.iter().any(|(k, _)| k.name == key);
        if group.iter().any(|key| given(&over, key) && !given(&under, key)) {
            under.retain(|(k, _)| !group.contains(&k.name.as_str()));
        }
    }
    let keys = row.keys();
    merge_entries(under, over, |key, below, top| {
        if top.kind == (NodeKind::Nothing { written: true }) {
            return None;
        }
        match (keys.iter().find(|row| row.key == key).map(|row| row.kind), below, top) {
            (Some(Kind::List(_)), below, top) if ADDED_TO.contains(&key) => Some(append(below, top)),
            (Some(kind), below, top) => Some(lay_over(below, top, &kind)),
            (None, _, top) => Some(top),
        }
    })
}

/// The lists of which both are kept.
const ADDED_TO: [&str; 3] = ["joints", "require", "steps"];

fn append(below: Node, top: Node) -> Node {
    match (below.kind, top.kind) {
        (NodeKind::List(mut all), NodeKind::List(more)) => {
            all.extend(more);
            Node { place: top.place, kind: NodeKind::List(all) }
        }
        (kind, NodeKind::Nothing { written: false }) => Node { place: below.place, kind },
        (_, kind) => Node { place: top.place, kind },
    }
}

/// Keys of which only some can stand together.
fn rival_keys(section: &str) -> &'static [&'static [&'static str]] {
    match section {
        "PartSpec" => &[
            &["left", "right", "width"],
            &["front", "back", "depth"],
            &["bottom", "top", "height"],
            &["spread", "centres", "halves"],
        ],
        "OpeningSpec" | "CutoutSpec" => {
            &[&["left", "right", "width"], &["front", "back", "depth"], &["bottom", "top", "height"]]
        }
        "EdgeSpec" => &[&["chamfer", "round", "rebate"]],
        "CornerSpec" => &[&["cut", "radius", "step"]],
        "StockSpec" => &[&["sheet", "board"]],
        _ => &[],
    }
}

fn merge_entries(
    under: Vec<(Key, Node)>,
    over: Vec<(Key, Node)>,
    merge: impl Fn(&str, Node, Node) -> Option<Node>,
) -> Vec<(Key, Node)> {
    let mut over: BTreeMap<String, (usize, Key, Node)> =
        over.into_iter().enumerate().map(|(at, (key, node))| (key.name.clone(), (at, key, node))).collect();
    let mut merged = Vec::with_capacity(under.len() + over.len());
    for (key, below) in under {
        match over.remove(&key.name) {
            None => merged.push((key, below)),
            Some((_, key, top)) => {
                if let Some(node) = merge(&key.name, below, top) {
                    merged.push((key, node));
                }
            }
        }
    }
    let mut new: Vec<(usize, Key, Node)> = over.into_values().collect();
    new.sort_by_key(|(at, ..)| *at);
    merged.extend(new.into_iter().map(|(_, key, node)| (key, node)));
    merged
}

#[cfg(test)]
mod tests {
    use super::super::language::{AssemblySpec, TemplateSpec};
    use super::super::read::{Read, Section};
    use super::super::source::read_text;
    use super::*;
    use crate::diagnose::Faults;

    fn laid_over(below: &str, top: &str) -> AssemblySpec {
        let mut faults = Faults::new();
        let below = read_text(0, below, &mut faults).expect("below");
        let top = read_text(1, top, &mut faults).expect("top");
        let merged = lay_over(below, top, &Kind::Section(AssemblySpec::ROW));
        let read = AssemblySpec::read(&merged, "bench", &mut faults);
        assert!(!faults.has_errors(), "{faults:#?}");
        read.expect("reads")
    }

    const BELOW: &str = "
parts:
  shelf: {stock: ply, left: 1, right: 9, front_edge: {chamfer: 1/4}, corners: [{at: [front, left], radius: 1}]}
  back: {stock: ply, left: 0, front_edge: {round: 1/8}}
joints: [{butt: shelf, against: back}]
";

    fn given(spec: &AssemblySpec, part: usize) -> Vec<&'static str> {
        let part = &spec.body.parts[part].body;
        [("left", &part.left), ("right", &part.right), ("width", &part.width)]
            .into_iter()
            .filter(|(_, formula)| formula.is_some())
            .map(|(key, _)| key)
            .collect()
    }

    #[test]
    fn a_size_replaces_its_namesake_or_both_rivals() {
        let same = laid_over(BELOW, "parts: {shelf: {right: 8}}\n");
        assert_eq!(given(&same, 0), ["left", "right"]);
        assert_eq!(same.body.parts[0].body.right.as_ref().map(|f| f.text.as_str()), Some("8"));
        let other = laid_over(BELOW, "parts: {shelf: {left: 0, width: 8}}\n");
        assert_eq!(given(&other, 0), ["left", "width"]);
        let away = laid_over(BELOW, "parts: {shelf: {right: ~}}\n");
        assert_eq!(given(&away, 0), ["left"]);
    }

    #[test]
    fn an_edge_keeps_one_treatment() {
        let spec = laid_over(BELOW, "parts: {shelf: {front_edge: {round: 1/8}}, back: {front_edge: ~}}\n");
        let edge = spec.body.parts[0].body.front_edge.as_ref().expect("an edge");
        assert!(edge.chamfer.0.is_empty() && edge.round.is_some());
        assert!(spec.body.parts[1].body.front_edge.is_none());
    }

    #[test]
    fn joints_are_added_and_other_lists_replaced() {
        let spec = laid_over(
            BELOW,
            "joints: [{house: shelf, in: back}]\nparts: {shelf: {corners: []}, rail: {stock: ply}}\n",
        );
        assert_eq!(spec.body.joints.len(), 2);
        assert!(spec.body.parts[0].body.corners.is_empty());
        let names: Vec<&str> = spec.body.parts.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(names, ["shelf", "back", "rail"]);
        // What was not touched keeps its place in the file below.
        assert_eq!(spec.body.parts[1].place.file, 0);
        assert_eq!(spec.body.parts[0].place.file, 1);
    }

    #[test]
    fn nothing_after_a_key_changes_nothing() {
        let spec = laid_over(BELOW, "parts:\njoints:\n");
        assert_eq!((spec.body.parts.len(), spec.body.joints.len()), (2, 1));
    }

    #[test]
    fn rivals_are_keys_of_the_language() {
        let parts = TemplateSpec::ROW.keys();
        let part = parts.iter().find(|r| r.key == "parts").expect("parts");
        let Kind::Named(Kind::Section(row)) = part.kind else { panic!("parts is a map of sections") };
        for key in rival_keys("PartSpec").iter().copied().flatten() {
            assert!(row.keys().iter().any(|r| r.key == *key), "{key}");
        }
    }
}
