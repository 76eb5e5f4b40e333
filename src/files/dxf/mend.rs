//! Puts right what the crate leaves out, pair by pair: handles of tables, owners, the blocks section, the root
//! dictionary; and what would differ between runs: dates and identifiers. An independent reader then finds nothing to fix.

/// A fixed day for the header: 1970-01-01 as a Julian day, so that the same part gives the same bytes.
const FIXED_DAY: &str = "2440587.5";
const FIXED_GUID: &str = "{00000000-0000-0000-0000-000000000000}";

struct Pair {
    code: i32,
    value: String,
}

struct Mender {
    pairs: Vec<Pair>,
    next_handle: u64,
}

impl Mender {
    fn put(&mut self, code: i32, value: impl Into<String>) {
        self.pairs.push(Pair { code, value: value.into() });
    }

    fn put_all(&mut self, pairs: &[(i32, &str)]) {
        for (code, value) in pairs {
            self.put(*code, *value);
        }
    }

    fn handle(&mut self) -> String {
        let handle = format!("{:X}", self.next_handle);
        self.next_handle += 1;
        handle
    }
}

/// The file with all of it put right. Fails only where the text is no run of pairs.
pub fn mend(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let text = std::str::from_utf8(bytes).map_err(|fault| fault.to_string())?;
    let old = pairs(text)?;
    let model = record_handle(&old, "*MODEL_SPACE").ok_or("no record of the model space")?;
    let paper = record_handle(&old, "*PAPER_SPACE").ok_or("no record of the paper space")?;
    let mut new = Mender { pairs: Vec::with_capacity(old.len() * 2), next_handle: highest_handle(&old) + 1 };
    let (mut section, mut table, mut owner) = (String::new(), String::new(), String::new());
    let mut i = 0;
    while let Some(pair) = old.get(i) {
        let (code, value) = (pair.code, pair.value.as_str());
        let next = old.get(i + 1);
        match (section.as_str(), code) {
            (_, 0) if value == "SECTION" => {
                section = next.map_or(String::new(), |p| p.value.clone());
                if section == "ENTITIES" {
                    blocks(&mut new, &model, &paper);
                }
                new.put(0, "SECTION");
            }
            ("HEADER", 9) if is_date(value) => {
                new.put(9, value);
                new.put(next.map_or(40, |p| p.code), FIXED_DAY);
                i += 1;
            }
            ("HEADER", 9) if value == "$FINGERPRINTGUID" || value == "$VERSIONGUID" => {
                new.put(9, value);
                new.put(2, FIXED_GUID);
                i += 1;
            }
            ("TABLES", 0) if value == "TABLE" => {
                table = next.map_or(String::new(), |p| p.value.clone());
                owner = new.handle();
                new.put(0, "TABLE");
                new.put(2, table.clone());
                new.put(5, owner.clone());
                new.put(330, "0");
                i += 1;
            }
            ("TABLES", 5) => {
                new.put(if table == "DIMSTYLE" { 105 } else { 5 }, value);
                new.put(330, owner.clone());
            }
            // Null handles of plot styles and layouts count as faults.
            ("TABLES", 390) if value == "0" => {}
            ("TABLES", 340) if value == "0" && table == "BLOCK_RECORD" => {}
            ("ENTITIES", 5) => {
                new.put(5, value);
                new.put(330, model.clone());
            }
            ("OBJECTS", 0) if value == "ENDSEC" => {
                dictionaries(&mut new);
                new.put(0, "ENDSEC");
            }
            _ => new.put(code, value),
        }
        i += 1;
    }
    seed(&mut new);
    let mut out = String::new();
    for pair in &new.pairs {
        out.push_str(&format!("{:>3}\r\n{}\r\n", pair.code, pair.value));
    }
    Ok(out.into_bytes())
}

/// An R12 file put right: it knows no subclasses (100), and the crate puts the corners of every polyline on layer 0.
pub fn mend_r12(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let text = std::str::from_utf8(bytes).map_err(|fault| fault.to_string())?;
    let old = pairs(text)?;
    let mut out = String::new();
    // The layer of the polyline whose corners are being read, whether this is one of them, and the variable being read.
    let (mut layer, mut corner, mut variable) = ("", false, "");
    for pair in &old {
        let mut value = pair.value.as_str();
        match pair.code {
            100 => continue,
            0 => (corner, variable) = (value == "VERTEX" || value == "SEQEND", ""),
            8 if corner => value = layer,
            8 => layer = value,
            9 => variable = value,
            40 if is_date(variable) => value = FIXED_DAY,
            _ => {}
        }
        out.push_str(&format!("{:>3}\r\n{value}\r\n", pair.code));
    }
    Ok(out.into_bytes())
}

fn pairs(text: &str) -> Result<Vec<Pair>, String> {
    let lines: Vec<&str> = text.lines().collect();
    lines
        .chunks_exact(2)
        .map(|two| match two {
            [code, value] => {
                let code = code.trim().parse().map_err(|_| format!("`{code}` is no group code"))?;
                Ok(Pair { code, value: value.trim_end_matches('\r').to_string() })
            }
            _ => Err("a group code without a value".to_string()),
        })
        .collect()
}

fn is_date(name: &str) -> bool {
    ["$TDCREATE", "$TDUCREATE", "$TDUPDATE", "$TDUUPDATE"].contains(&name)
}

/// Handle of the BLOCK_RECORD with this name: the last handle before the name.
fn record_handle(pairs: &[Pair], name: &str) -> Option<String> {
    let at = pairs.iter().position(|p| p.code == 2 && p.value.eq_ignore_ascii_case(name))?;
    pairs.get(..at)?.iter().rev().find(|p| p.code == 5).map(|p| p.value.clone())
}

fn highest_handle(pairs: &[Pair]) -> u64 {
    let handles = pairs.iter().filter(|p| p.code == 5 || p.code == 105);
    handles.filter_map(|p| u64::from_str_radix(&p.value, 16).ok()).max().unwrap_or(0)
}

/// Definitions of the two spaces that every R2000 file has.
fn blocks(new: &mut Mender, model: &str, paper: &str) {
    new.put_all(&[(0, "SECTION"), (2, "BLOCKS")]);
    for (name, record) in [("*MODEL_SPACE", model), ("*PAPER_SPACE", paper)] {
        let (begin, end) = (new.handle(), new.handle());
        new.put(0, "BLOCK");
        new.put(5, begin);
        new.put(330, record);
        new.put_all(&[(100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockBegin"), (2, name), (70, "0")]);
        new.put_all(&[(10, "0.0"), (20, "0.0"), (30, "0.0"), (3, name), (1, "")]);
        new.put(0, "ENDBLK");
        new.put(5, end);
        new.put(330, record);
        new.put_all(&[(100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockEnd")]);
    }
    new.put(0, "ENDSEC");
}

/// The root dictionary with its one compulsory entry.
fn dictionaries(new: &mut Mender) {
    let (root, groups) = (new.handle(), new.handle());
    new.put(0, "DICTIONARY");
    new.put(5, root.clone());
    new.put_all(&[(330, "0"), (100, "AcDbDictionary"), (281, "1"), (3, "ACAD_GROUP")]);
    new.put(350, groups.clone());
    new.put(0, "DICTIONARY");
    new.put(5, groups);
    new.put(330, root);
    new.put_all(&[(100, "AcDbDictionary"), (281, "1")]);
}

/// The header names the next free handle.
fn seed(new: &mut Mender) {
    let next = format!("{:X}", new.next_handle);
    if let Some(at) = new.pairs.iter().position(|p| p.code == 9 && p.value == "$HANDSEED")
        && let Some(seed) = new.pairs.get_mut(at + 1)
    {
        seed.value = next;
    }
}
