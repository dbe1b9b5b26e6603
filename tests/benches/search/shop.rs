//! An invented shop for the bench: styles and SKUs, and for the peers the value of each in every group.

use catalogue::key::StyleKey;
use catalogue::policy::HousePolicy;
use catalogue::size::{SizeCharts, SizeLabel, SizeSystem};
use catalogue::stock::{Price, Quantity, Sku};
use catalogue::style::{
    Audience, Bending, BendingWord, Purpose, Purposes, Specification, Style, Surface, Surfaces,
};
use catalogue::units::{Grams, Mm};
use indexer::loaded::{Loaded, Seq, Texts};
use indexer::snapshot::{Group, NOT_GIVEN};
use indexer::words::Synonyms;

/// The groups that look at a style.
pub(crate) const OF_STYLE: [Group; 12] = [
    Group::Audience,
    Group::Maker,
    Group::Surface,
    Group::Purpose,
    Group::Bending,
    Group::Drop,
    Group::Stack,
    Group::Mass,
    Group::Plate,
    Group::Rocker,
    Group::Devices,
    Group::ShopNote,
];
/// The groups with a number behind their bands.
pub(crate) const WITH_NUMBERS: [Group; 3] = [Group::Drop, Group::Stack, Group::Mass];
/// Half sizes of each of the two colourways of a style,
const SIZES: u64 = 10;
/// and where there are so many styles.
const VERY_MANY: u64 = 500_000;
const SIZES_OF_VERY_MANY: u64 = 5;

/// Numbers that look like chance and are the same in every run (SplitMix64).
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % end
    }

    pub(crate) fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len() as u64) as usize]
    }

    /// Nothing, once in `one_in`.
    fn known<T>(&mut self, one_in: u64, value: T) -> Option<T> {
        (self.below(one_in) > 0).then_some(value)
    }

    pub(crate) fn word(&mut self, among: u64) -> String {
        const SYLLABLES: [&str; 12] =
            ["ba", "ce", "di", "fo", "gu", "ka", "le", "mi", "no", "pu", "ra", "se"];
        let n = self.below(among);
        [n % 12, n / 12 % 12, (n * 7 + n / 144) % 12].map(|s| SYLLABLES[s as usize]).concat()
    }
}

/// A shop of so many styles, each with its SKUs, whose texts are held once as the store holds them.
pub(crate) fn shop(styles: u64) -> Loaded {
    let mut chance = Chance(1);
    let mut texts = Texts::default();
    let sizes = if styles < VERY_MANY { SIZES } else { SIZES_OF_VERY_MANY };
    let mut styles: Vec<Style> = (0..styles).map(|n| style(n, &mut chance, &mut texts)).collect();
    styles.sort_by(|a, b| a.key.cmp(&b.key));
    let skus = styles.iter().flat_map(|style| skus(style, sizes, &mut chance, &mut texts)).collect();
    let (policy, charts) = (HousePolicy::standard(), SizeCharts::default());
    Loaded { seq: Seq(1), styles, skus, policy, charts, stock_told: None, synonyms: Synonyms::default() }
}

fn style(n: u64, chance: &mut Chance, texts: &mut Texts) -> Style {
    let maker = format!("Maker {}", chance.below(40));
    let number = format!("N{n}");
    let notes: Vec<String> = (0..12).map(|_| chance.word(600)).collect();
    Style {
        key: StyleKey::of_number(&maker, &number).expect("letters and digits"),
        name: texts.text(&format!("{} {}", chance.word(400), chance.below(9) + 1)),
        number: Some(number.into()),
        maker: texts.text(&maker),
        audience: chance.known(20, chance_audience(n)),
        surfaces: Surfaces::of(&[chance.of(Surface::ALL)]).with(chance.of(Surface::ALL)),
        purposes: Purposes::of(&[chance.of(Purpose::ALL)]).with(chance.of(Purpose::ALL)),
        specification: specification(chance),
        notes: Some(notes.join(" ").into()),
        shop_note: shop_note(chance).map(|note| texts.text(&note)),
        season: None,
        replaces: None,
        retired: false,
    }
}

/// What a shop notes of one style in three: a word of fit, now and then with a free one beside it.
fn shop_note(chance: &mut Chance) -> Option<String> {
    let word = chance.of(&["runs short", "runs long", "roomy toes", "narrow heel", "high instep"]);
    let free = if chance.below(5) == 0 { "; laces bite" } else { "" };
    (chance.below(3) == 0).then(|| format!("{word}{free}"))
}

fn chance_audience(n: u64) -> Audience {
    [Audience::Women, Audience::Men, Audience::Men, Audience::Unisex][n as usize % 4]
}

fn specification(chance: &mut Chance) -> Specification {
    let heel = 180 + chance.below(25) as i32 * 10;
    let drop = chance.below(13) as i32 * 10;
    let mass = 1_600 + chance.below(190) as i32 * 10;
    let word = chance.of(&BendingWord::ALL);
    let (plate, rocker, devices) = (chance.below(5) == 0, chance.below(4) == 0, chance.below(3) as u8);
    Specification {
        heel_stack: chance.known(15, Mm::tenths(heel)),
        forefoot_stack: chance.known(10, Mm::tenths(heel - drop)),
        mass: chance.known(10, Grams::tenths(mass)),
        bending: chance.known(3, Bending::Word(word)),
        plate: chance.known(4, plate),
        rocker: chance.known(4, rocker),
        devices: chance.known(3, devices),
        ..Specification::default()
    }
}

fn skus(style: &Style, sizes: u64, chance: &mut Chance, texts: &mut Texts) -> Vec<Sku> {
    let first = if style.audience == Some(Audience::Women) { 36 * 12 } else { 40 * 12 };
    let price = 7_000 + chance.below(15) as u32 * 1_000;
    let of = |n: u64, chance: &mut Chance, texts: &mut Texts| {
        let label = SizeLabel::of_twelfths(SizeSystem::Eu, first + (n % sizes) as u16 * 6);
        let colourway = if n < sizes { "grey" } else { "red" };
        let width = ["D", "2E"][usize::from(n >= sizes && price.is_multiple_of(3_000))];
        let pairs = Quantity::Pairs(chance.below(4) as u32);
        Sku {
            style: style.key.clone(),
            colourway: texts.text(colourway),
            label: texts.label(label),
            width: chance.known(8, texts.text(width)),
            gtin: None,
            quantity: chance.known(30, pairs),
            price: chance.known(30, Price(price + 500 * u32::from(n >= sizes))),
            place: None,
        }
    };
    (0..2 * sizes).map(|n| of(n, chance, texts)).collect()
}

/// All words of a style as the indexer takes them: lower case, letters and digits apart.
pub(crate) fn text_of(style: &Style) -> String {
    let number = style.number.as_deref().unwrap_or_default();
    let notes = style.notes.as_deref().unwrap_or_default();
    let note = style.shop_note.as_deref().unwrap_or_default().replace(';', " ");
    let text =
        format!("{} {} {} grey red {notes} {note}", style.name, number.replace('N', "n "), style.maker);
    text.to_lowercase()
}

/// The number behind a band, in tenths.
pub(crate) fn number_of(group: Group, style: &Style) -> Option<i64> {
    let specification = &style.specification;
    let (heel, forefoot) = (specification.heel_stack, specification.forefoot_stack);
    let tenths = match group {
        Group::Drop => heel.zip(forefoot).map(|(h, f)| h.in_tenths() - f.in_tenths()),
        Group::Stack => heel.map(Mm::in_tenths),
        Group::Mass => specification.mass.map(Grams::in_tenths),
        _ => None,
    };
    tenths.map(i64::from)
}

/// The values of a style in a group, worked out from the design's words and not by the indexer.
pub(crate) fn values_of(group: Group, style: &Style) -> Vec<String> {
    let specification = &style.specification;
    let (heel, forefoot) = (specification.heel_stack, specification.forefoot_stack);
    let drop = heel.zip(forefoot).map(|(h, f)| h.in_tenths() - f.in_tenths());
    let yes = |answer: Option<bool>| answer.map(|yes| if yes { "yes" } else { "no" });
    let word = match group {
        Group::Surface => return style.surfaces.iter().map(|s| s.word().to_owned()).collect(),
        Group::Purpose => return style.purposes.iter().map(|p| p.word().to_owned()).collect(),
        Group::Maker => return vec![style.key.maker().to_string()],
        Group::ShopNote => return fit_words(style.shop_note.as_deref()),
        Group::Audience => style.audience.map(Audience::word),
        Group::Bending => specification.bending_word().map(BendingWord::word),
        Group::Plate => yes(specification.plate),
        Group::Rocker => yes(specification.rocker),
        Group::Devices => specification.devices.map(|n| if n > 0 { "some" } else { "none" }),
        Group::Drop => drop.map(|d| band(d, &[30, 60, 90], &["0-2", "3-5", "6-8", "9-"])),
        Group::Stack => heel
            .map(|h| band(h.in_tenths(), &[200, 280, 360, 401], &["-19", "20-27", "28-35", "36-40", "41-"])),
        _ => specification
            .mass
            .map(|m| band(m.in_tenths(), &[2_000, 2_500, 3_000], &["-199", "200-249", "250-299", "300-"])),
    };
    vec![word.unwrap_or(NOT_GIVEN).to_owned()]
}

/// The words of fit in a shop's note; a part that is none of them is an other note.
fn fit_words(note: Option<&str>) -> Vec<String> {
    let Some(note) = note else { return vec![NOT_GIVEN.to_owned()] };
    let known =
        |part: &str| ["short", "long", "toes", "heel", "instep"].iter().any(|end| part.ends_with(end));
    note.split("; ").map(|part| if known(part) { part } else { "other note" }.to_owned()).collect()
}

fn band<'a>(tenths: i32, cuts: &[i32], names: &[&'a str]) -> &'a str {
    names[cuts.iter().filter(|cut| **cut <= tenths).count()]
}
