//! Sheet and stick layouts against published instances, and against checks that know nothing of trees.

use proptest::prelude::*;
use tickstick::plans::nest::list::{self, Largest};
use tickstick::plans::nest::{
    Cut, Fate, Fault, Item, Keep, LONGEST, Layout, Options, Panel, Rect, Run, Saw, SheetLayout, Stock,
    lay_out,
};
use tickstick::plans::sticks;

/// Two-dimensional bin packing, classes of Berkey and Wang (1987) and of Martello and Vigo (1998), 50 instances each.
const CLASSES: [&str; 5] = [
    include_str!("data/bpp2d_class01.csv"),
    include_str!("data/bpp2d_class03.csv"),
    include_str!("data/bpp2d_class05.csv"),
    include_str!("data/bpp2d_class07.csv"),
    include_str!("data/bpp2d_class09.csv"),
];
/// Two-dimensional guillotine knapsack: gcut of Beasley (1985), cgcut of Christofides and Whitlock (1977), OR-Library.
const KNAPSACKS: &str = include_str!("data/knap2d_gcut_cgcut.csv");
/// One-dimensional bin packing: uniform items and triplets of Falkenauer (1996), OR-Library.
const UNIFORM: &str = include_str!("data/csp1d_falkenauer_u.csv");
const TRIPLETS: &str = include_str!("data/csp1d_falkenauer_t.csv");

fn number(field: &str) -> i64 {
    field.parse().expect("the tables hold whole numbers")
}

/// `AxB*n` or `AxB` apart.
fn size_and_count(text: &str) -> (i64, i64, u32) {
    let (size, count) = text.split_once('*').unwrap_or((text, "1"));
    let (w, h) = size.split_once('x').expect("a size is WxH");
    (number(w), number(h), count.parse().expect("a count"))
}

/// One instance of a class: sheet, items without and with turning, fewest sheets known (guillotine) without and with.
struct Instance {
    name: String,
    sheet: (i64, i64),
    items: [Vec<Item>; 2],
    known: [usize; 2],
}

fn instances(table: &str) -> Vec<Instance> {
    let rows = table.lines().skip(1).map(|line| {
        let fields: Vec<&str> = line.split(',').collect();
        let items = |may_turn| {
            let item = |text| {
                let (width, height, quantity) = size_and_count(text);
                Item { width, height, quantity, may_turn }
            };
            fields[11].split(' ').map(item).collect()
        };
        Instance {
            name: fields[0].to_owned(),
            sheet: (number(fields[1]), number(fields[2])),
            items: [items(false), items(true)],
            known: [number(fields[7]) as usize, number(fields[10]) as usize],
        }
    });
    rows.collect()
}

/// Whether cuts right across, each a kerf wide, free every rectangle: knows only where the rectangles lie.
pub fn guillotine(rects: &[Rect], kerf: i64) -> bool {
    if rects.len() < 2 {
        return true;
    }
    for run in [Run::AlongY, Run::AlongX] {
        let span = |r: &Rect| match run {
            Run::AlongY => (r.x, r.x + r.width),
            Run::AlongX => (r.y, r.y + r.height),
        };
        let mut sorted = rects.to_vec();
        sorted.sort_by_key(span);
        let mut reach = i64::MIN / 2;
        for (at, rect) in sorted.iter().enumerate() {
            let (begin, end) = span(rect);
            if at > 0 && begin >= reach + kerf {
                return guillotine(&sorted[..at], kerf) && guillotine(&sorted[at..], kerf);
            }
            reach = reach.max(end);
        }
    }
    false
}

/// Makes the cuts one after another on a bare sheet and says what pieces lie there in the end.
fn make_cuts(sheet: &SheetLayout, stock: &Stock, kerf: i64) -> Vec<Rect> {
    let mut pieces = vec![Rect { x: 0, y: 0, width: stock.width, height: stock.height }];
    for (index, cut) in sheet.cuts.iter().enumerate() {
        assert_eq!(cut.number, index + 1);
        let across = |r: &Rect| match cut.run {
            Run::AlongX => {
                (r.x, r.x + r.width) == (cut.from, cut.to) && r.y < cut.at && cut.at < r.y + r.height
            }
            Run::AlongY => {
                (r.y, r.y + r.height) == (cut.from, cut.to) && r.x < cut.at && cut.at < r.x + r.width
            }
        };
        let found: Vec<usize> = (0..pieces.len()).filter(|&at| across(&pieces[at])).collect();
        assert_eq!(found.len(), 1, "cut {cut:?} runs right across one piece of {pieces:?}");
        let piece = pieces.swap_remove(found[0]);
        let (begin, end) = match cut.run {
            Run::AlongX => (piece.y, piece.y + piece.height),
            Run::AlongY => (piece.x, piece.x + piece.width),
        };
        // At the lower and left edge trims the kerf comes before the line, everywhere else beyond it.
        let near_trim = cut.stage == 0 && begin == 0;
        let spans = if near_trim { vec![(cut.at, end)] } else { vec![(begin, cut.at), (cut.at + kerf, end)] };
        if !near_trim && cut.stage > 0 {
            assert_eq!(cut.setting, cut.at - begin, "the setting is the size of the piece cut off");
        }
        for (from, to) in spans.into_iter().filter(|(from, to)| from < to) {
            pieces.push(match cut.run {
                Run::AlongX => Rect { y: from, height: to - from, ..piece },
                Run::AlongY => Rect { x: from, width: to - from, ..piece },
            });
        }
    }
    pieces
}

fn area(rect: &Rect) -> i64 {
    rect.width * rect.height
}

/// Everything that must hold of every layout.
fn check(layout: &Layout, items: &[Item], stock: &[Stock], options: &Options) {
    let mut counts = vec![0; items.len()];
    for sheet in &layout.sheets {
        let bought = &stock[sheet.stock];
        assert!(!sheet.parts.is_empty(), "no sheet is cut for nothing");
        let rects: Vec<Rect> = sheet.parts.iter().map(|part| part.rect).collect();
        for part in &sheet.parts {
            let item = &items[part.item];
            counts[part.item] += 1;
            let sides = if part.turned { (item.height, item.width) } else { (item.width, item.height) };
            assert_eq!((part.rect.width, part.rect.height), sides, "parts keep their size");
            assert!(item.may_turn || !part.turned, "the grain is kept");
            let Rect { x, y, width, height } = part.rect;
            assert!(x >= bought.trim && x + width <= bought.width - bought.trim, "inside the sheet");
            assert!(y >= bought.trim && y + height <= bought.height - bought.trim, "inside the sheet");
        }
        for (at, one) in rects.iter().enumerate() {
            for other in &rects[at + 1..] {
                let apart = |a: i64, a_side: i64, b: i64, b_side: i64| {
                    a + a_side + options.kerf <= b || b + b_side + options.kerf <= a
                };
                assert!(
                    apart(one.x, one.width, other.x, other.width)
                        || apart(one.y, one.height, other.y, other.height),
                    "a kerf lies between neighbours"
                );
            }
        }
        assert!(guillotine(&rects, options.kerf), "cut right across: {rects:?}");
        let mut pieces = make_cuts(sheet, bought, options.kerf);
        for wanted in rects.iter().chain(&sheet.offcuts) {
            let at = pieces.iter().position(|piece| piece == wanted);
            pieces.swap_remove(at.unwrap_or_else(|| panic!("{wanted:?} is cut out by the list of cuts")));
        }
        // Strips off the edges stay waste, however long.
        let end = (bought.width - bought.trim, bought.height - bought.trim);
        for waste in pieces.iter().filter(|r| r.x < end.0 && r.y < end.1) {
            assert!(!options.keep.keeps(waste.width, waste.height), "{waste:?} was worth keeping");
        }
        assert!(sheet.offcuts.iter().all(|offcut| options.keep.keeps(offcut.width, offcut.height)));
        let used: i64 = rects.iter().chain(&sheet.offcuts).map(area).sum();
        assert!(used <= bought.width * bought.height, "areas add up");
        check_panel(&sheet.panel, sheet);
    }
    for (item, count) in items.iter().zip(counts) {
        assert_eq!(item.quantity, count, "every part is placed once");
    }
    for (index, stock) in stock.iter().enumerate() {
        let used = layout.sheets.iter().filter(|sheet| sheet.stock == index).count();
        assert!(stock.count.is_none_or(|count| used <= count as usize), "no more than there are");
    }
    assert!(layout.bound <= layout.sheets.len());
}

fn check_panel(panel: &Panel, sheet: &SheetLayout) {
    match &panel.fate {
        Fate::Part(index) => assert_eq!(panel.rect, sheet.parts[*index].rect),
        Fate::Offcut => assert!(sheet.offcuts.contains(&panel.rect)),
        Fate::Waste => {}
        Fate::Cut(_, pieces) => pieces.iter().for_each(|piece| check_panel(piece, sheet)),
    }
}

fn laid_out(items: &[Item], stock: &[Stock], options: &Options) -> Layout {
    let layout = lay_out(items, stock, options).expect("a layout");
    check(&layout, items, stock, options);
    layout
}

#[test]
fn published_instances_take_no_more_sheets_than_known() {
    // Fewest sheets of any guillotine layout published, columns best_OG and best_RG; here the instances of 20 parts.
    let options = Options { effort: 4, ..Options::default() };
    for instance in CLASSES.iter().flat_map(|class| instances(class)).filter(|i| i.name.contains("_020_")) {
        let stock = [Stock::sheet(instance.sheet.0, instance.sheet.1, 0)];
        for (items, known) in instance.items.iter().zip(instance.known) {
            let layout = laid_out(items, &stock, &options);
            assert!(
                layout.sheets.len() <= known,
                "{}: {} sheets, {known} known",
                instance.name,
                layout.sheets.len()
            );
            assert!(layout.bound <= known, "{}: bound {} over {known} known", instance.name, layout.bound);
        }
    }
}

/// Best value of one guillotine pattern of unlimited copies (Gilmore and Gomory's recursion), and how many of each item it
/// takes; `items` are width, height, value.
fn best_pattern(w: usize, h: usize, items: &[(usize, usize, i64)]) -> (i64, Vec<u32>) {
    #[derive(Clone, Copy)]
    enum Step {
        Nothing,
        Item(usize),
        Side(usize),
        Up(usize),
    }
    let at = |x: usize, y: usize| x * (h + 1) + y;
    let mut value = vec![0_i64; (w + 1) * (h + 1)];
    let mut step = vec![Step::Nothing; value.len()];
    let sums = |length: usize, sides: &[usize]| {
        let mut reached = vec![false; length + 1];
        reached[0] = true;
        for x in 0..=length {
            reached[x] = x == 0 || sides.iter().any(|&side| side <= x && reached[x - side]);
        }
        reached
    };
    let sums_w = sums(w, &items.iter().map(|item| item.0).collect::<Vec<_>>());
    let sums_h = sums(h, &items.iter().map(|item| item.1).collect::<Vec<_>>());
    for x in 1..=w {
        for y in 1..=h {
            // A size that is no sum of sides is worth as much as the next smaller one.
            let (mut best, mut how) = (0, Step::Nothing);
            for (index, &(a, b, gain)) in items.iter().enumerate() {
                if a <= x && b <= y && gain > best {
                    (best, how) = (gain, Step::Item(index));
                }
            }
            for cut in (1..x).filter(|&cut| sums_w[cut]) {
                let sum = value[at(cut, y)] + value[at(x - cut, y)];
                if sum > best {
                    (best, how) = (sum, Step::Side(cut));
                }
            }
            for cut in (1..y).filter(|&cut| sums_h[cut]) {
                let sum = value[at(x, cut)] + value[at(x, y - cut)];
                if sum > best {
                    (best, how) = (sum, Step::Up(cut));
                }
            }
            value[at(x, y)] = best;
            step[at(x, y)] = how;
        }
    }
    let mut counts = vec![0; items.len()];
    let mut todo = vec![(w, h)];
    while let Some((x, y)) = todo.pop() {
        match step[at(x, y)] {
            Step::Nothing => {}
            Step::Item(index) => counts[index] += 1,
            Step::Side(cut) => todo.extend([(cut, y), (x - cut, y)]),
            Step::Up(cut) => todo.extend([(x, cut), (x, y - cut)]),
        }
    }
    (value[at(w, h)], counts)
}

#[test]
fn an_optimal_pattern_goes_on_one_sheet_and_no_sheet_holds_more() {
    for line in KNAPSACKS.lines().skip(1).filter(|line| line.starts_with("gcut")).take(4) {
        let fields: Vec<&str> = line.split(',').collect();
        let (w, h) = (number(fields[1]), number(fields[2]));
        let optimum = number(fields[5]);
        let goods: Vec<(usize, usize, i64)> = fields[8]
            .split(' ')
            .map(|text| {
                let (size, profit) = text.split_once('=').expect("size=profit");
                let (a, b, _) = size_and_count(size);
                (a as usize, b as usize, number(profit))
            })
            .collect();
        let (value, counts) = best_pattern(w as usize, h as usize, &goods);
        assert_eq!(value, optimum, "{}: the recursion gives the published optimum", fields[0]);
        let items = |quantity: &dyn Fn(usize) -> u32| -> Vec<Item> {
            let item = |(index, good): (usize, &(usize, usize, i64))| Item {
                width: good.0 as i64,
                height: good.1 as i64,
                quantity: quantity(index),
                may_turn: false,
            };
            goods.iter().enumerate().map(item).collect()
        };
        let stock = [Stock::sheet(w, h, 0)];
        let options = Options { effort: 5, ..Options::default() };
        let layout = laid_out(&items(&|index| counts[index]), &stock, &options);
        assert_eq!(layout.sheets.len(), 1, "{}", fields[0]);
        // Profits are areas here, so three of each on as many sheets as it takes: none covers more than the optimum.
        for sheet in &laid_out(&items(&|_| 3), &stock, &options).sheets {
            assert!(sheet.parts.iter().map(|part| area(&part.rect)).sum::<i64>() <= optimum, "{}", fields[0]);
        }
    }
}

#[test]
fn no_sheet_holds_more_than_the_best_pattern_with_so_many_copies() {
    // cgcut1–3: at most so many copies of each item, optimum known. Whatever lies on one sheet of a layout is such a pattern.
    let mut seen = 0;
    for line in KNAPSACKS.lines().skip(1).filter(|line| line.starts_with("cgcut")) {
        let fields: Vec<&str> = line.split(',').collect();
        let (w, h, optimum) = (number(fields[1]), number(fields[2]), number(fields[5]));
        let (mut items, mut profits) = (Vec::new(), Vec::new());
        for text in fields[8].split(' ') {
            let (size, profit) = text.split_once('=').expect("size=profit");
            let (width, height, quantity) = size_and_count(size);
            items.push(Item { width, height, quantity, may_turn: false });
            profits.push(number(profit));
        }
        let layout = laid_out(&items, &[Stock::sheet(w, h, 0)], &Options { effort: 5, ..Options::default() });
        for sheet in &layout.sheets {
            let value: i64 = sheet.parts.iter().map(|part| profits[part.item]).sum();
            assert!(value <= optimum, "{}: {value} on one sheet, {optimum} is the most", fields[0]);
        }
        seen += 1;
    }
    assert_eq!(seen, 3);
}

#[test]
fn kerfs_are_counted_between_pieces_and_not_after_the_last() {
    let items = [Item { width: 100, height: 50, quantity: 3, may_turn: false }];
    let options = Options { kerf: 3, ..Options::default() };
    // 100 + 3 + 100 + 3 + 100 = 306.
    for (width, sheets) in [(306, 1), (305, 2), (307, 1), (309, 1), (310, 1)] {
        let layout = laid_out(&items, &[Stock::sheet(width, 50, 0)], &options);
        assert_eq!(layout.sheets.len(), sheets, "{width} wide");
        if sheets == 1 {
            // Flush: two cuts. Else a third; what is left after its kerf is all there is.
            assert_eq!(layout.sheets[0].cuts.len(), if width == 306 { 2 } else { 3 });
            let left: i64 = layout.sheets[0].offcuts.iter().map(area).sum();
            assert_eq!(left, (width - 309).max(0) * 50);
        }
    }
}

#[test]
fn eight_strips_of_six_inches_do_not_come_out_of_four_feet() {
    // Common practice: 8 × 6 in + 7 × 1/8 in = 48 7/8 in. Units of 1/8 in.
    let options = Options { kerf: 1, ..Options::default() };
    let stock = [Stock::sheet(96 * 8, 48 * 8, 0)];
    let strips = |quantity| [Item { width: 96 * 8, height: 6 * 8, quantity, may_turn: false }];
    assert_eq!(laid_out(&strips(8), &stock, &options).sheets.len(), 2);
    assert_eq!(laid_out(&strips(7), &stock, &options).sheets.len(), 1);
}

#[test]
fn edge_trim_is_taken_off_all_round_and_before_all_else() {
    let items = [Item { width: 480, height: 230, quantity: 4, may_turn: false }];
    let options = Options { kerf: 4, ..Options::default() };
    // 2 × 480 + 4 + 2 × 8 = 980 and 2 × 230 + 4 + 2 × 8 = 480.
    let layout = laid_out(&items, &[Stock::sheet(980, 480, 8)], &options);
    assert_eq!(layout.sheets.len(), 1);
    let stages: Vec<usize> = layout.sheets[0].cuts.iter().map(|cut| cut.stage).collect();
    assert_eq!(stages, [0, 0, 0, 0, 1, 2, 2]);
    assert_eq!(laid_out(&items, &[Stock::sheet(979, 480, 8)], &options).sheets.len(), 2);
}

#[test]
fn the_rack_is_used_first_and_the_grain_decides() {
    let items = [Item { width: 300, height: 200, quantity: 2, may_turn: false }];
    let full = Stock::sheet(2440, 1220, 10);
    let options = Options { kerf: 3, ..Options::default() };
    let layout = laid_out(&items, &[full, Stock::offcut(650, 210, 1)], &options);
    assert_eq!(layout.sheets.iter().map(|sheet| sheet.stock).collect::<Vec<_>>(), [1]);
    // Across the grain the offcut is of no use.
    let layout = laid_out(&items, &[full, Stock::offcut(210, 650, 1)], &options);
    assert_eq!(layout.sheets.iter().map(|sheet| sheet.stock).collect::<Vec<_>>(), [0]);
    let turning = [Item { may_turn: true, ..items[0] }];
    let layout = laid_out(&turning, &[full, Stock::offcut(210, 650, 1)], &options);
    assert_eq!(layout.sheets.iter().map(|sheet| sheet.stock).collect::<Vec<_>>(), [1]);
}

#[test]
fn the_cheapest_of_two_sheet_sizes_is_bought() {
    // 4 parts of 600 × 600 fit 1210 × 1210 (two and two with a kerf); the large sheet is not needed.
    let items = [Item { width: 600, height: 600, quantity: 4, may_turn: true }];
    let stock = [Stock::sheet(3000, 1500, 0), Stock::sheet(1210, 1210, 0)];
    let layout = laid_out(&items, &stock, &Options { kerf: 4, ..Options::default() });
    assert_eq!(layout.sheets.iter().map(|sheet| sheet.stock).collect::<Vec<_>>(), [1]);
}

#[test]
fn what_is_left_stays_in_one_large_piece() {
    // 10 parts of 100 × 500 on 1000 × 1000 without kerf: half the sheet stays whole.
    let items = [Item { width: 100, height: 500, quantity: 10, may_turn: true }];
    let options = Options { keep: Keep { short_side: 100, long_side: 300 }, ..Options::default() };
    let layout = laid_out(&items, &[Stock::sheet(1000, 1000, 0)], &options);
    assert_eq!(layout.sheets.len(), 1);
    let largest = layout.sheets[0].offcuts.iter().map(area).max();
    assert_eq!(largest, Some(500_000), "{:?}", layout.sheets[0].offcuts);
}

#[test]
fn limited_stock_that_runs_out_is_told_with_what_is_left_over() {
    let items = [Item { width: 60, height: 60, quantity: 3, may_turn: true }];
    let faults = lay_out(&items, &[Stock::offcut(100, 100, 2)], &Options::default());
    assert_eq!(faults, Err(vec![Fault::StockShort { left: vec![(0, 1)] }]));
}

#[test]
fn faults_of_a_request_are_told_together() {
    let items = [
        Item { width: 120, height: 50, quantity: 1, may_turn: true },
        Item { width: 50, height: 90, quantity: 1, may_turn: false },
        Item { width: 50, height: 60, quantity: 1, may_turn: false },
    ];
    let stock = [Stock::sheet(100, 60, 0)];
    assert_eq!(
        lay_out(&items, &stock, &Options::default()),
        Err(vec![
            Fault::ItemTooLarge { item: 0, turned: false },
            Fault::ItemTooLarge { item: 1, turned: true },
        ])
    );
    let huge = [Item { width: i64::MAX, height: 0, quantity: u32::MAX, may_turn: true }];
    let stock = [Stock { width: 100, height: -1, count: None, trim: i64::MAX, cost: u64::MAX }];
    let faults = lay_out(&huge, &stock, &Options { kerf: -1, ..Options::default() });
    assert_eq!(
        faults,
        Err(vec![
            Fault::Kerf,
            Fault::StockSize { stock: 0 },
            Fault::TooManyParts { parts: u64::from(u32::MAX) },
            Fault::ItemSize { item: 0 },
        ])
    );
    assert_eq!(lay_out(&[], &[], &Options::default()).map(|layout| layout.sheets.len()), Ok(0));
}

#[test]
fn the_largest_sizes_overflow_nothing() {
    let half = Item { width: LONGEST / 2, height: LONGEST, quantity: 3, may_turn: true };
    let stock = [Stock::sheet(LONGEST, LONGEST, 0)];
    assert_eq!(laid_out(&[half], &stock, &Options { effort: 1, ..Options::default() }).sheets.len(), 2);
    let options = Options { kerf: LONGEST, effort: 1, ..Options::default() };
    assert_eq!(laid_out(&[half], &stock, &options).sheets.len(), 3);
    let piece = sticks::Piece { length: sticks::LONGEST, quantity: 2 };
    let options = sticks::Options { kerf: sticks::LONGEST, ..sticks::Options::default() };
    assert_eq!(check_sticks(&[piece], &[sticks::Stock::sold(sticks::LONGEST, 0)], &options).sticks.len(), 2);
}

/// Cuts that the saw could not make.
fn beyond(sheet: &SheetLayout, saw: Saw, kerf: i64, stock: &Stock) -> Vec<Cut> {
    // Where the piece ends that a cut divides: the next kerf or edge beyond it is not in the cut, so the cuts are made again.
    let mut pieces = vec![Rect {
        x: stock.trim,
        y: stock.trim,
        width: stock.width - 2 * stock.trim,
        height: stock.height - 2 * stock.trim,
    }];
    let mut found = Vec::new();
    for cut in sheet.cuts.iter().filter(|cut| cut.stage > 0) {
        let at = pieces.iter().position(|r| match cut.run {
            Run::AlongX => {
                (r.x, r.x + r.width) == (cut.from, cut.to) && r.y < cut.at && cut.at < r.y + r.height
            }
            Run::AlongY => {
                (r.y, r.y + r.height) == (cut.from, cut.to) && r.x < cut.at && cut.at < r.x + r.width
            }
        });
        let piece = pieces.swap_remove(at.expect("a piece to cut"));
        let (near, far) = match cut.run {
            Run::AlongX => (
                Rect { height: cut.at - piece.y, ..piece },
                Rect { y: cut.at + kerf, height: piece.y + piece.height - cut.at - kerf, ..piece },
            ),
            Run::AlongY => (
                Rect { width: cut.at - piece.x, ..piece },
                Rect { x: cut.at + kerf, width: piece.x + piece.width - cut.at - kerf, ..piece },
            ),
        };
        let too_far = match cut.run {
            Run::AlongX => saw.rip.is_some_and(|rip| near.height.min(far.height) > rip),
            Run::AlongY => saw.crosscut.is_some_and(|crosscut| cut.to - cut.from > crosscut),
        };
        assert!(!cut.splits_sheet || too_far, "only what is beyond the saw is marked");
        if too_far && !cut.splits_sheet {
            found.push(*cut);
        }
        assert!(!cut.splits_sheet || cut.stage == 1, "only first cuts split the sheet");
        pieces.extend([near, far].into_iter().filter(|r| r.width > 0 && r.height > 0));
    }
    found
}

#[test]
fn cuts_after_the_first_stay_within_the_saw() {
    let items = [
        Item { width: 900, height: 560, quantity: 4, may_turn: false },
        Item { width: 700, height: 300, quantity: 6, may_turn: true },
        Item { width: 350, height: 120, quantity: 12, may_turn: true },
    ];
    let stock = [Stock::sheet(2440, 1220, 10)];
    for saw in [
        Saw { rip: Some(600), crosscut: None },
        Saw { rip: None, crosscut: Some(640) },
        Saw { rip: Some(610), crosscut: Some(700) },
    ] {
        let options = Options { kerf: 3, effort: 2, saw, ..Options::default() };
        let layout = laid_out(&items, &stock, &options);
        for sheet in &layout.sheets {
            assert_eq!(beyond(sheet, saw, 3, &stock[0]), [], "{saw:?}");
        }
    }
    let wide = [Item { width: 1000, height: 800, quantity: 1, may_turn: false }];
    let saw = Saw { rip: Some(300), crosscut: Some(500) };
    let options = Options { saw, ..Options::default() };
    // 800 from 1220 leaves 420 on the other side of a rip, and a crosscut would be 800 or more long.
    assert_eq!(lay_out(&wide, &stock, &options), Err(vec![Fault::BeyondSaw { item: 0 }]));
}

#[test]
fn the_same_request_gives_the_same_layout_and_another_seed_may_not() {
    let instance = &instances(CLASSES[2])[12];
    let stock = [Stock::sheet(instance.sheet.0, instance.sheet.1, 0)];
    let options = Options { effort: 1, ..Options::default() };
    let first = laid_out(&instance.items[1], &stock, &options);
    assert_eq!(first, laid_out(&instance.items[1], &stock, &options));
    assert_ne!(first, laid_out(&instance.items[1], &stock, &Options { seed: 2, ..options }));
}

/// A few parts of a shop, in mm.
fn some_items(most: usize) -> impl Strategy<Value = Vec<Item>> {
    let item = (60_i64..900, 60_i64..560, 1_u32..4, any::<bool>())
        .prop_map(|(width, height, quantity, may_turn)| Item { width, height, quantity, may_turn });
    proptest::collection::vec(item, 1..most)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_layout_holds_what_it_must(
        items in some_items(12),
        kerf in 0_i64..7,
        trim in 0_i64..15,
        seed in any::<u64>(),
        (short_side, long_side) in (0_i64..200, 0_i64..500),
    ) {
        let stock = [Stock::sheet(1250, 1000, trim), Stock::offcut(600, 300, 2), Stock::offcut(200, 900, 1)];
        let keep = Keep { short_side, long_side };
        let options = Options { kerf, effort: 1, seed, keep, ..Options::default() };
        laid_out(&items, &stock, &options);
    }

    #[test]
    fn more_kerf_never_needs_fewer_sheets(items in some_items(5), kerf in 0_i64..6, more in 1_i64..6) {
        let stock = [Stock::sheet(1000, 600, 0)];
        let sheets = |kerf| laid_out(&items, &stock, &Options { kerf, effort: 4, ..Options::default() }).sheets.len();
        prop_assert!(sheets(kerf + more) >= sheets(kerf));
    }

    #[test]
    fn every_stick_holds_what_it_must(
        pieces in proptest::collection::vec((20_i64..2400, 1_u32..6), 1..12),
        kerf in 0_i64..5,
        trim in 0_i64..12,
        seed in any::<u64>(),
    ) {
        let pieces: Vec<sticks::Piece> =
            pieces.into_iter().map(|(length, quantity)| sticks::Piece { length, quantity }).collect();
        let stock = [
            sticks::Stock::sold(2440, trim),
            sticks::Stock::sold(3050, trim),
            sticks::Stock::in_rack(900, 2),
        ];
        check_sticks(&pieces, &stock, &sticks::Options { kerf, effort: 1, seed });
    }
}

fn check_sticks(
    pieces: &[sticks::Piece],
    stock: &[sticks::Stock],
    options: &sticks::Options,
) -> sticks::Layout {
    let layout = sticks::lay_out(pieces, stock, options).expect("a layout");
    let mut counts = vec![0; pieces.len()];
    let mut cost = 0;
    let mut used = vec![0; stock.len()];
    for stick in &layout.sticks {
        let bought = &stock[stick.stock];
        used[stick.stock] += 1;
        cost += u128::from(bought.cost);
        let mut next = bought.trim;
        for placed in &stick.pieces {
            assert_eq!(placed.from, next, "one kerf between neighbours");
            assert_eq!(placed.length, pieces[placed.piece].length);
            counts[placed.piece] += 1;
            next += placed.length + options.kerf;
        }
        assert!(next - options.kerf <= bought.length - bought.trim, "inside the stick");
        assert_eq!(stick.offcut, (bought.length - bought.trim - next).max(0));
        assert!(!stick.pieces.is_empty());
    }
    assert_eq!(
        counts,
        pieces.iter().map(|piece| piece.quantity).collect::<Vec<_>>(),
        "every piece is placed once"
    );
    assert_eq!(cost, layout.cost);
    assert!(layout.bound <= layout.sticks.len());
    for (stock, used) in stock.iter().zip(used) {
        assert!(stock.count.is_none_or(|count| used <= count), "no more than there are");
    }
    layout
}

/// Name, capacity, optimum and pieces of the one-dimensional instances.
fn rods(table: &str) -> impl Iterator<Item = (&str, i64, usize, Vec<sticks::Piece>)> {
    table.lines().skip(1).map(|line| {
        let fields: Vec<&str> = line.split(',').collect();
        let piece = |text: &str| {
            let (length, count) = text.split_once('*').unwrap_or((text, "1"));
            sticks::Piece { length: number(length), quantity: count.parse().expect("a count") }
        };
        (fields[0], number(fields[1]), number(fields[5]) as usize, fields[6].split(' ').map(piece).collect())
    })
}

#[test]
fn published_sticks_come_out_at_the_optimum() {
    let smaller = |name: &str| name.starts_with("u120") || name.starts_with("t60");
    for (name, length, optimum, pieces) in rods(UNIFORM).chain(rods(TRIPLETS)).filter(|rod| smaller(rod.0)) {
        let layout = check_sticks(&pieces, &[sticks::Stock::sold(length, 0)], &sticks::Options::default());
        assert_eq!(layout.sticks.len(), optimum, "{name}");
        assert!(layout.bound <= optimum, "{name}");
    }
}

#[test]
fn the_least_length_of_several_is_bought() {
    // 7 ft of rail and 9 ft of rail: an 8 ft and a 10 ft stick (18 ft), not two of 10 ft nor one of 16 ft. In inches.
    let pieces = [sticks::Piece { length: 84, quantity: 1 }, sticks::Piece { length: 108, quantity: 1 }];
    let stock = [sticks::Stock::sold(120, 0), sticks::Stock::sold(96, 0), sticks::Stock::sold(240, 0)];
    let layout = check_sticks(&pieces, &stock, &sticks::Options::default());
    assert_eq!(layout.cost, 216);
    // What the rack holds costs nothing.
    let stock = [stock[0], stock[1], stock[2], sticks::Stock::in_rack(110, 1)];
    assert_eq!(check_sticks(&pieces, &stock, &sticks::Options::default()).cost, 96);
}

#[test]
fn sticks_tell_their_faults() {
    let piece = |length, quantity| sticks::Piece { length, quantity };
    let options = sticks::Options::default();
    assert_eq!(
        sticks::lay_out(&[piece(97, 1), piece(0, 1)], &[sticks::Stock::sold(100, 2)], &options),
        Err(vec![
            sticks::Fault::PieceTooLong { piece: 0, longest: 96 },
            sticks::Fault::PieceLength { piece: 1 }
        ])
    );
    assert_eq!(
        sticks::lay_out(&[piece(60, 3)], &[sticks::Stock::in_rack(100, 2)], &options),
        Err(vec![sticks::Fault::StockShort { left: vec![(0, 1)] }])
    );
    assert_eq!(
        sticks::lay_out(&[piece(i64::MAX, u32::MAX)], &[sticks::Stock::sold(i64::MAX, -1)], &options),
        Err(vec![
            sticks::Fault::StockLength { stock: 0 },
            sticks::Fault::TooManyPieces { pieces: u64::from(u32::MAX) },
            sticks::Fault::PieceLength { piece: 0 },
        ])
    );
}

fn millimetres(text: &str) -> Result<i64, String> {
    text.trim_end_matches("mm").trim().parse::<i64>().map_err(|error| error.to_string())
}

const SHEET: [Largest<'static>; 1] = [Largest { width: 2420, height: 1200, told: "2420 × 1200 mm" }];

#[test]
fn a_list_is_read_in_any_column_order() {
    let text = "\u{feff}Quantity,name,height,width,rotate\n2,Shelf,300 mm,800,no\n\n1,\"Door, left\",1200,600,\n3,Rail,70,500,YES\n";
    let entries = list::read(text, &SHEET, true, millimetres).expect("a list");
    let told: Vec<(&str, u64, Item)> = entries.iter().map(|e| (e.name.as_str(), e.line, e.item)).collect();
    let item = |width, height, quantity, may_turn| Item { width, height, quantity, may_turn };
    assert_eq!(
        told,
        [
            ("Shelf", 2, item(800, 300, 2, false)),
            ("Door, left", 4, item(600, 1200, 1, true)),
            ("Rail", 5, item(500, 70, 3, true)),
        ]
    );
}

#[test]
fn every_fault_of_a_list_is_told_with_its_line() {
    let faults = |text: &str| -> Vec<(u64, String)> {
        let faults = list::read(text, &SHEET, false, millimetres).expect_err("faults");
        assert!(faults.iter().all(|fault| !fault.cure.is_empty()));
        faults.into_iter().map(|fault| (fault.line, fault.fault)).collect()
    };
    let header = "name,width,height,quantity,rotate\n";
    for (line, told) in [
        ("A,0,300,1,", "the width `0` is not above zero"),
        ("A,-5,300,1,", "the width `-5` is not above zero"),
        ("A,wide,300,1,", "the width `wide` is no length: invalid digit found in string"),
        ("A,300,,1,", "the height is missing"),
        ("A,300", "the height is missing"),
        ("A,2500,300,1,", "`A`, 2500 × 300, is larger than the sheet, 2420 × 1200 mm within its trims"),
        ("A,300,1300,1,no", "`A`, 300 × 1300, is larger than the sheet, 2420 × 1200 mm within its trims"),
        ("A,9223372036854775807,300,1,", "the width `9223372036854775807` is beyond any sheet"),
        ("A,300,300,0,", "the quantity is 0"),
        ("A,300,300,-1,", "the quantity `-1` is no whole number"),
        ("A,300,300,2.5,", "the quantity `2.5` is no whole number"),
        ("A,300,300,two,", "the quantity `two` is no whole number"),
        ("A,300,300,,", "the quantity is missing"),
        (
            "A,300,300,99999999999,",
            "the quantity 99999999999 is out of range; at most 100000 parts are laid out at once",
        ),
        (
            "A,300,300,1000000,",
            "with this line the list has 1000001 parts; at most 100000 are laid out at once",
        ),
        ("A,300,300,1,maybe", "rotate says `maybe`"),
        (",300,300,1,", "the part has no name"),
        ("A,300,300,1,yes,more", "6 fields under 5 columns"),
    ] {
        let found = faults(&format!("{header}Fine,100,100,1,\n{line}\n"));
        assert_eq!(found.first(), Some(&(3, told.to_owned())), "{line}");
    }
    assert_eq!(faults("name,width,quantity\n"), [(1, "column `height` is missing".to_owned())]);
    assert_eq!(
        faults("name,breadth,width,height,quantity,width\n"),
        [(1, "unknown column `breadth`".to_owned()), (1, "column `width` is there twice".to_owned())]
    );
    assert_eq!(faults(header), [(1, "the list has no parts".to_owned())]);
    assert_eq!(faults("").len(), 4);
    assert_eq!(faults(&format!("{header}A,x,y,z,w\nB,0,0,0,no\n")).len(), 7);
    // Turned it fits: then the rotate column decides.
    assert!(list::read(&format!("{header}A,300,1300,1,yes\n"), &SHEET, false, millimetres).is_ok());
}

#[test]
fn the_report_has_the_fields_that_other_programs_read() {
    let items = [Item { width: 40, height: 100, quantity: 1, may_turn: true }];
    let layout = laid_out(&items, &[Stock::sheet(110, 40, 0)], &Options { kerf: 2, ..Options::default() });
    let report = list::report(&layout, &["Rail".to_owned()], |units| units);
    let json = serde_json::to_value(&report).expect("plain data");
    assert_eq!(
        json,
        serde_json::json!({
            "sheets": [{
                "parts": [{"name": "Rail", "x": 0, "y": 0, "width": 100, "height": 40, "rotated": true}],
                "cuts": [{"number": 1, "stage": 1, "along": "y", "at": 100, "from": 0, "to": 40, "setting": 100,
                          "splits_sheet": false}],
            }],
            "bound": 1,
        })
    );
}
