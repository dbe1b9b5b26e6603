//! The page of one shoe.

use catalogue::minimalism::MinimalistIndex;
use catalogue::size::{SizeSource, SizeSystem};
use catalogue::stock::Sku;
use catalogue::style::{Audience, Bending, Style};
use indexer::snapshot::{Snapshot, StyleCard};

use super::list::{facts, remarks};
use super::similar;
use crate::access::Access;
use crate::labels::NOT_GIVEN;
use crate::owner::edit_size::address;
use crate::owner::shoe_origins::Told;
use crate::pages::shoe::{Measure, ShoePage, Size};
use crate::parts::Link;
use crate::parts::origin::{Origin, Traced};
use crate::parts::sole_line::Scale;
use crate::staff::visitor::visitor;
use crate::visit::money::money;
use crate::visit::shoe;
use crate::words;

/// The page, with where each value came from.
pub fn page(card: &StyleCard<'_>, snapshot: &Snapshot, told: &Told) -> ShoePage {
    let style = card.style;
    ShoePage {
        maker: style.maker.to_string(),
        name: style.name.to_string(),
        facts: facts(card),
        remarks: remarks(style),
        sole: shoe::sole(&card.measures, None, Scale::Large),
        findings: findings(card),
        done: None,
        scanned: Vec::new(),
        unread: false,
        specification: specification(card, told),
        minimalist_index: Some(minimalist_index(style)),
        stock: card.skus.iter().map(|sku| size(style, sku, snapshot, told)).collect(),
        stock_in_words: stock_in_words(card.skus),
        notes: style.notes.as_deref().map(ToOwned::to_owned),
        rules: vec![Link::new(say!("All rules and what they rest on"), "/rules")],
        related: related(style, snapshot),
        alike: similar::alike(card, snapshot),
        compare: Some(Link::new(say!("Set beside others"), format!("/compare?shoe={}", style.key))),
        bring_out: None,
        edit: is_owner()
            .then(|| Link::new(say!("Correct or add to it"), format!("/shoes/{}/edit", style.key))),
    }
}

fn findings(card: &StyleCard<'_>) -> Vec<String> {
    let disagrees = card.measures.drop_disagrees().then(|| {
        say!("The stated drop and the two stacks are more than half a millimetre apart; the stacks rank.")
            .to_owned()
    });
    disagrees.into_iter().collect()
}

fn specification(card: &StyleCard<'_>, told: &Told) -> Vec<Measure> {
    let spec = &card.style.specification;
    let measures = &card.measures;
    let yes = |value: Option<bool>| value.map(|yes| if yes { say!("yes") } else { say!("no") }.to_owned());
    let worked_out = |value: Option<String>, derived: bool| {
        value.map(|value| if derived { format!("{value} {}", words::of(WORKED_OUT)) } else { value })
    };
    let show = |mm: Option<catalogue::units::Mm>| mm.map(words::number);
    // A stated drop that the stacks contradict is named beside the one that ranks.
    let drop = match (show(measures.drop()), show(spec.drop_stated)) {
        (Some(ranks), Some(stated)) if measures.drop_disagrees() => {
            Some(say!("{ranks} by the stacks; {stated} stated", ranks, stated))
        }
        (drop, _) => worked_out(drop, measures.drop_is_derived()),
    };
    let mass = spec.mass.map(|mass| match &spec.mass_size {
        Some(size) => say!("{mass} at {size}", mass = words::number(mass), size),
        None => say!("{mass}, size of the weighing not given", mass = words::number(mass)),
    });
    let rows: [(&str, &str, Option<String>); 12] = [
        (
            say!("Heel stack"),
            "heel_stack",
            worked_out(show(measures.heel_stack()), measures.heel_is_derived()),
        ),
        (
            say!("Forefoot stack"),
            "forefoot_stack",
            worked_out(show(measures.forefoot_stack()), measures.forefoot_is_derived()),
        ),
        (say!("Drop"), "drop", drop),
        (say!("Weight of one shoe"), "mass", mass),
        (say!("Bending"), "bending", spec.bending.as_ref().map(bending)),
        (
            say!("Compression"),
            "compression",
            spec.compression.as_ref().map(|c| format!("{} ({})", c.stiffness, c.method)),
        ),
        (say!("Torsion"), "torsion", spec.torsion.as_ref().map(ToString::to_string)),
        (say!("Rocker sole"), "rocker", yes(spec.rocker)),
        (say!("Plate"), "plate", yes(spec.plate)),
        (say!("Stability devices"), "devices", spec.devices.map(|n| n.to_string())),
        (say!("Liner comes out"), "liner_removable", yes(spec.liner_removable)),
        (say!("Stacks include the liner"), "liner_included", yes(spec.liner_included)),
    ];
    let measure = |(label, key, value): (&str, &str, Option<String>)| {
        let worked_out = value.as_ref().is_some_and(|value| value.ends_with(words::of(WORKED_OUT)));
        let mut value = told.traced_style(card.style.key.as_str(), key, value);
        if worked_out && value.origin.is_none() {
            value.origin = Some(from_the_others());
        }
        Measure { label: label.to_owned(), value }
    };
    rows.into_iter().map(measure).collect()
}

/// Behind a value that no sheet states.
const WORKED_OUT: &str = word!("(worked out)");

fn from_the_others() -> Origin {
    let say = say!(
        "No sheet states it: it is worked out from heel stack, forefoot stack and drop, where two are known."
    );
    Origin { say: say.to_owned(), when: String::new(), change: None }
}

fn bending(bending: &Bending) -> String {
    match bending {
        Bending::Word(word) => words::of(word.word()).to_owned(),
        Bending::Value(value) => say!("{value} (a laboratory value, not turned into a word)", value),
        Bending::KindUnknown(text) => say!("stiffness {text}, kind unknown", text),
    }
}

/// `44 to 64 of 100: four of five parts are known`.
fn minimalist_index(style: &Style) -> String {
    let index = MinimalistIndex::of(&style.specification, None);
    let known = say!("{known} of its five parts are known", known = index.known);
    if index.low == index.high {
        say!("{low} of 100", low = index.low)
    } else {
        say!("between {low} and {high} of 100: {known}", low = index.low, high = index.high, known)
    }
}

fn size(style: &Style, sku: &Sku, snapshot: &Snapshot, told: &Told) -> Size {
    let width = sku.width.as_ref().map_or_else(String::new, |width| format!(", {width}"));
    Size {
        colourway: sku.colourway.to_string(),
        label: format!("{}{width}", sku.label),
        foot: foot(style, sku, snapshot),
        pairs: told.traced(
            sku.key().as_str(),
            "quantity",
            sku.quantity.map(|quantity| words::of(&quantity.to_string()).to_owned()),
        ),
        price: price(style, sku, snapshot, told),
        place: sku.place.as_deref().unwrap_or_default().to_owned(),
        edit: is_owner().then(|| address(style, sku)),
    }
}

/// A size without a price of its own has its style's.
fn price(style: &Style, sku: &Sku, snapshot: &Snapshot, told: &Told) -> Traced {
    let price = sku.price.map(|price| money(price, snapshot.policy().currency));
    let own = told.says(sku.key().as_str(), "price").is_some_and(|line| line.after.is_some());
    if own {
        told.traced(sku.key().as_str(), "price", price)
    } else {
        told.traced(style.key.as_str(), "price", price)
    }
}

/// The foot a label is made for, by the maker's chart or the formula; for US women's labels the retail scale
/// disagrees, and the page says so.
fn foot(style: &Style, sku: &Sku, snapshot: &Snapshot) -> String {
    let Some(foot) = snapshot.foot(style, &sku.label) else {
        return say!("foot {value}", value = words::of(NOT_GIVEN));
    };
    let length = say!("foot {mm_tenths} mm", mm_tenths = shoe::plain(foot.length.mm_tenths()));
    let retail = sku.label.system() == Some(SizeSystem::Us) && style.audience == Some(Audience::Women);
    match foot.by {
        SizeSource::Chart => say!("{length}, by the maker's chart", length),
        SizeSource::Formula if retail => {
            say!("{length} by formula; the retail scale is half a size off", length)
        }
        SizeSource::Formula => length,
    }
}

fn stock_in_words(skus: &[Sku]) -> String {
    let pairs: u32 = skus.iter().filter_map(|sku| sku.quantity).map(|quantity| quantity.counted()).sum();
    match pairs {
        0 => say!("none in stock").to_owned(),
        1 => say!("1 pair in stock").to_owned(),
        pairs => say!("{pairs} pairs in stock", pairs),
    }
}

/// The shoe it follows, and those that follow it.
fn related(style: &Style, snapshot: &Snapshot) -> Vec<Link> {
    let before = style.replaces.as_ref().and_then(|key| snapshot.style(key));
    let before = before
        .map(|card| Link::new(say!("Follows {card}", card = shoe::name(card.style)), shoe::href(card.style)));
    let after = snapshot.styles().iter().filter(|other| other.replaces.as_ref() == Some(&style.key));
    let after = after
        .map(|other| Link::new(say!("Followed by {other}", other = shoe::name(other)), shoe::href(other)));
    before.into_iter().chain(after).collect()
}

/// Whether whoever looks may correct what stands here.
fn is_owner() -> bool {
    visitor().may(Access::Owner)
}
