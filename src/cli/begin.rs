//! What a template offers, and a spec to begin with: written from the template's own parameters.

use std::collections::BTreeMap;
use std::fmt::Write;

use crate::diagnose::Faults;
use crate::spec::language::{ParameterKind, ParameterSpec, TemplateSpec};
use crate::spec::read::{Named, Read};
use crate::spec::source::read_text;
use crate::spec::{BUILT_IN, BuiltIn};

/// The template's own words; `None` only where a built-in template is broken, which the tests exclude.
fn body(template: &BuiltIn) -> Option<TemplateSpec> {
    let mut faults = Faults::new();
    let node = read_text(0, template.text, &mut faults)?;
    TemplateSpec::read(&node, template.name, &mut faults).filter(|_| !faults.has_errors())
}

/// Every template with its parameters.
pub fn list() -> String {
    let mut text = String::new();
    for template in BUILT_IN {
        let Some(body) = body(template) else { continue };
        let about = body.about.as_ref().map_or("", |about| about.text.as_str());
        let _ = writeln!(text, "{}\n    {about}\n", template.name);
        let wide = body.parameters.iter().map(|p| p.name.chars().count()).max().unwrap_or(0);
        for Named { name, body, .. } in &body.parameters {
            let _ = writeln!(text, "    {name:wide$}  {}", remark(body));
        }
        text.push('\n');
    }
    text.push_str("`tickstick new NAME` prints a spec to begin with.\n");
    text
}

/// Kind, limits, default and meaning of a parameter in a line.
fn remark(parameter: &ParameterSpec) -> String {
    let mut text = parameter.is.word().replace('_', " or ");
    if parameter.is == ParameterKind::OneOf {
        let words: Vec<&str> = parameter.of.0.iter().map(|word| word.text.as_str()).collect();
        text = words.join(", ");
    }
    for (word, limit) in [("from", &parameter.least), ("up to", &parameter.most)] {
        if let Some(limit) = limit {
            let _ = write!(text, " {word} {}", limit.text);
        }
    }
    match &parameter.default {
        Some(default) => {
            let _ = write!(text, ", default {}", default.text);
        }
        None => text.push_str(", must be given"),
    }
    if let Some(about) = &parameter.about {
        let _ = write!(text, ": {}", about.text);
    }
    text
}

/// A spec that builds as it stands, from the template of that name. `None` where there is none.
pub fn spec(name: &str) -> Option<String> {
    let template = BUILT_IN.iter().find(|t| t.name == name)?;
    let body = body(template)?;
    let metric = is_metric(&body);
    let (units, kerf, bit) = if metric { ("mm", "3.2 mm", "6 mm") } else { ("inch", "1/8\"", "1/4\"") };
    let mut text = String::new();
    let about = body.about.as_ref().map_or("", |about| about.text.as_str());
    let _ = write!(
        text,
        "# {about}\n\
         # Change what differs and build it: tickstick build THIS-FILE\n\
         # yaml-language-server: $schema=tickstick.schema.json\n\
         \n\
         job:\n  title: {}\n  # number: A-01        # begins file names\n  # client:\n  # date: 2026-01-31    # printed as it stands\n\
         \n\
         # What a bare number means: inch or mm. 3/4\", 18 mm, 5' 4-1/2\" are understood in either.\n\
         units: {units}\n\
         \n\
         # Actual sizes: measure the thickness with a caliper.\n\
         stock:\n",
        template.name.replace('-', " "),
    );
    let mut stock: BTreeMap<&str, &str> = BTreeMap::new();
    for Named { body: parameter, .. } in &body.parameters {
        if let (ParameterKind::Stock, Some(default)) = (parameter.is, &parameter.default) {
            let about = parameter.about.as_ref().map_or("", |about| about.text.as_str());
            stock.entry(&default.text).or_insert_with(|| stock_to_begin_with(about, metric));
        }
    }
    for (name, line) in stock {
        let _ = writeln!(text, "  {name}: {line}");
    }
    let _ = write!(
        text,
        "\n# What the saw and the bit can do; a part that they cannot cut is reported.\nshop:\n  kerf: {kerf}\n  bit: {bit}\n\
         \nassemblies:\n  {}:\n    template: {}\n    with:\n",
        template.name.replace('-', "_"),
        template.name,
    );
    for Named { name, body: parameter, .. } in &body.parameters {
        let given = parameter.default.as_ref().or(parameter.start.as_ref()).or(parameter.least.as_ref());
        let value = given.map_or("1", |value| value.text.as_str());
        let _ = writeln!(text, "      # {}", remark(parameter));
        let _ = writeln!(text, "      {name}: {value}");
    }
    text.push_str(
        "    # Any part of the template can be changed here, or taken out with `keep: no`:\n    # parts:\n    #   NAME: \
         {front_edge: {round: 1/8\"}}\n",
    );
    Some(text)
}

/// Whether the template's own sizes are metric, so that a bare number in a spec made from it means what its reader expects.
fn is_metric(body: &TemplateSpec) -> bool {
    let sizes = body.parameters.iter().filter(|p| p.body.is == ParameterKind::Length);
    let given = sizes.filter_map(|p| p.body.default.as_ref().or(p.body.start.as_ref()));
    let (metric, inch): (Vec<_>, Vec<_>) = given.partition(|size| size.text.contains("mm"));
    metric.len() > inch.len()
}

/// Common stock by what the template says of it; the maker puts the caliper's reading in its place. Common practice: 3/4
/// sheet goods measure about 0.709", 4/4 boards are planed to 3/4", 6/4 boards to 1 1/4"; 18 mm birch ply measures about
/// 17.7 mm and 6.5 mm about 6.4 mm (mean thickness, a mill's data sheet).
fn stock_to_begin_with(about: &str, metric: bool) -> &'static str {
    let by = |in_mm: &'static str, in_inch: &'static str| if metric { in_mm } else { in_inch };
    if about.contains("solid") && about.contains("top") && !about.contains("frame") {
        by(
            "{board: yes, thick: 30 mm, glue_up: yes, called: 30 mm board}",
            "{board: yes, thick: 1 1/4\", glue_up: yes, called: 6/4 board}",
        )
    } else if about.contains("solid") {
        by(
            "{board: yes, thick: 20 mm, glue_up: yes, called: 20 mm board}",
            "{board: yes, thick: 3/4\", glue_up: yes, called: 4/4 board}",
        )
    } else if about.contains("thin") || about.contains("panels") {
        by(
            "{sheet: [1220 mm, 2440 mm], thick: 6.4 mm, grain: long, called: 6.5 mm ply}",
            "{sheet: [48\", 96\"], thick: 0.205\", grain: long, called: 1/4 ply}",
        )
    } else {
        by(
            "{sheet: [1220 mm, 2440 mm], thick: 17.7 mm, grain: long, called: 18 mm ply}",
            "{sheet: [48\", 96\"], thick: 0.709\", grain: long, called: 3/4 ply}",
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::{SourceError, Sources};

    struct One(String);

    impl Sources for One {
        fn read(&self, path: &str) -> Result<String, SourceError> {
            if path == "new.yaml" { Ok(self.0.clone()) } else { Err(SourceError::NotFound) }
        }
    }

    #[test]
    fn a_new_spec_gives_every_parameter_and_is_read_in_silence() {
        assert!(!BUILT_IN.is_empty());
        for template in BUILT_IN {
            let text = spec(template.name).expect("a spec");
            let (loaded, faults) = crate::spec::read(&One(text.clone()), "new.yaml", &[]);
            assert_eq!(faults.into_sorted(), [], "{text}");
            let assembly = &loaded.spec.assemblies[0].body;
            assert_eq!(assembly.with.len(), assembly.body.parameters.len());
            for parameter in &assembly.body.parameters {
                let given = &parameter.body;
                assert!(given.default.is_some() || given.start.is_some(), "{} needs a start", parameter.name);
                if let (ParameterKind::Stock, Some(stock)) = (given.is, &given.default) {
                    assert!(
                        loaded.spec.stock.iter().any(|s| s.name == stock.text),
                        "{} is there",
                        stock.text
                    );
                }
            }
        }
        assert_eq!(spec("none"), None);
        let units = |name| spec(name).expect("a spec").contains("units: mm");
        assert!(units("shelf-bay") && !units("bay-bench"), "in the units of the template's own sizes");
    }

    #[test]
    fn the_list_tells_every_parameter() {
        let text = list();
        for template in BUILT_IN {
            let body = body(template).expect("a template");
            assert!(body.about.is_some() && text.contains(template.name));
            assert!(body.parameters.iter().all(|p| text.contains(&p.name) && p.body.about.is_some()));
        }
    }
}
