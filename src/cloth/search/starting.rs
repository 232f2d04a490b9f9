//! The first lay: items put down one after the other, each as near the beginning of the cloth as samples show.

use super::lay::{Lay, Saved};
use super::placing::Placer;
use super::prepared::Prepared;
use super::random::Random;
use super::ways::ItemPlace;

/// How many orders are tried.
const ORDERS: u64 = 6;

/// How many places are looked at for each item.
const SAMPLES: usize = 400;

/// How much room beyond the items put down is looked at, as a share of the next item's length: enough for it to lie
/// beyond them all, with some to spare for stripes to be met.
const ROOM_BEYOND: f64 = 1.5;

/// First and last step toward the beginning, as a share of the item's lesser extent.
const SLIDE: (f64, f64) = (0.5, 0.002);

/// Puts down the items in several orders and keeps the best lay: the one with the least overlap, and of those without
/// any the shortest.
pub(super) fn start(prepared: &Prepared, seed: u64) -> Saved {
    let lay = |order: u64| {
        let mut random = Random::new(seed, order);
        let items = in_order(prepared, order, &mut random);
        let lay = put_down(prepared, &items, random);
        (lay.overlap(), lay.length(), lay.save())
    };
    let mut best = lay(0);
    for order in 1..ORDERS {
        let next = lay(order);
        if (next.0, next.1) < (best.0, best.1) {
            best = next;
        }
    }
    best.2
}

/// The items, by what makes them hard to place, hardest first.
fn in_order(prepared: &Prepared, order: u64, random: &mut Random) -> Vec<usize> {
    let hardness = |item: usize| {
        let ready = &prepared.items[item];
        ready.turned.first().map_or(0.0, |turned| match order {
            1 => turned.bounds.height(),
            2 => turned.bounds.width(),
            _ => ready.figure.area,
        })
    };
    let spread = if order > 2 { 0.5 } else { 0.0 };
    let mut items: Vec<(f64, usize)> = (0..prepared.items.len())
        .map(|item| (hardness(item) * (1.0 + random.between(-spread, spread)), item))
        .collect();
    items.sort_by(|a, b| b.0.total_cmp(&a.0));
    items.into_iter().map(|(_, item)| item).collect()
}

fn put_down<'a>(prepared: &'a Prepared, order: &[usize], mut random: Random) -> Lay<'a> {
    let beds = &prepared.ground.beds;
    let choices = &prepared.groups.choices;
    let nowhere = ItemPlace { way: 0, degrees: 0.0, x: 0.0, y: f64::NEG_INFINITY };
    let whole: Vec<f64> = beds.iter().map(|bed| bed.bounds.y1).collect();
    let mut lay = Lay::of(
        prepared,
        &Saved {
            ends: whole.clone(),
            together: choices.iter().map(|choice| choice.choose(&mut random, prepared.tallest())).collect(),
            spots: vec![nowhere; order.len()],
            overlap: 0.0,
        },
    );
    let mut placer = Placer::new(random);
    for item in order {
        let spot = first_place(&mut lay, *item, &mut placer);
        lay.put(*item, spot);
    }
    lay.ends = whole;
    lay
}

/// Where an item is put down: nearest the beginning of those places where it overlaps nothing, else where it overlaps
/// least.
fn first_place(lay: &mut Lay, item: usize, placer: &mut Placer) -> ItemPlace {
    let prepared = lay.prepared;
    let reach = prepared.items[item].turned.iter().map(|turned| turned.bounds.height()).fold(0.0, f64::max);
    for (sheet, bed) in prepared.ground.beds.iter().enumerate() {
        lay.ends[sheet] = (lay.used_to(sheet) + reach * ROOM_BEYOND).min(bed.bounds.y1);
    }
    placer.begin();
    let mut best: Option<(f64, ItemPlace)> = None;
    for sample in 0..SAMPLES * 2 {
        if sample >= SAMPLES && best.is_some_and(|(cost, _)| cost == 0.0) {
            break;
        }
        if sample == SAMPLES {
            for (sheet, bed) in prepared.ground.beds.iter().enumerate() {
                lay.ends[sheet] = bed.bounds.y1;
            }
        }
        let Some(spot) = placer.anywhere(lay, item) else { continue };
        let bound = best.map_or(f64::INFINITY, |(cost, _)| cost).max(f64::MIN_POSITIVE);
        if let Some((cost, spot)) = placer.look(lay, item, spot, bound)
            && best.is_none_or(|known| {
                cost < known.0 || (cost == 0.0 && key(lay, item, spot) < key(lay, item, known.1))
            })
        {
            best = Some((cost, spot));
        }
    }
    match best {
        Some((0.0, spot)) => slid(lay, item, spot, placer),
        Some((_, spot)) => spot,
        None => amid(lay, item),
    }
}

/// The middle of the sheet of an item's first way, whatever the rules say. Only for an item that follows a group of
/// lines none of which comes to lie where it has room.
fn amid(lay: &Lay, item: usize) -> ItemPlace {
    let turned = &lay.prepared.items[item].turned[0];
    let middle = lay.prepared.ground.beds[lay.prepared.items[item].ways[0].sheet].bounds.centre();
    ItemPlace { way: 0, degrees: turned.degrees, x: middle.x, y: middle.y }
}

/// By what places without overlap are told apart: the sheet, how far along the item reaches, how far across it begins.
fn key(lay: &Lay, item: usize, spot: ItemPlace) -> (usize, f64, f64) {
    let ready = &lay.prepared.items[item];
    let bounds = ready.turned[spot.way].bounds;
    (ready.ways[spot.way].sheet, bounds.y1 + spot.y, bounds.x0 + spot.x)
}

/// The place reached by sliding toward the beginning, and across where that is barred.
fn slid(lay: &Lay, item: usize, mut spot: ItemPlace, placer: &mut Placer) -> ItemPlace {
    let extent = lay.prepared.items[item].figure.extent;
    let mut step = extent * SLIDE.0;
    while step > extent * SLIDE.1 {
        let nearer =
            [(0.0, -step), (-step, 0.0), (-step, -step), (step, -step)].into_iter().find_map(|(x, y)| {
                let next = ItemPlace { x: spot.x + x, y: spot.y + y, ..spot };
                let (_, next) = placer.look(lay, item, next, f64::MIN_POSITIVE)?;
                (key(lay, item, next) < key(lay, item, spot)).then_some(next)
            });
        match nearer {
            Some(next) => spot = next,
            None => step /= 2.0,
        }
    }
    spot
}
