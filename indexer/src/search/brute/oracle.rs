//! The answer to a search, worked out from the nouns of the sheets, row by row and as the design says it.

use catalogue::measures::Measures;
use catalogue::size::{FootLength, half_step_of_run};
use catalogue::stock::{Quantity, Sku};
use catalogue::style::{Audience, BendingWord, FIT_NOTES, Purpose, Style, Surface};
use catalogue::units::{Grams, Mm};

use crate::search::asked::{Search, size_label};
use crate::snapshot::{Group, NOT_GIVEN};

/// A reference to one row of the catalogue.
pub(super) struct Shop<'a> {
    pub(super) styles: &'a [Style],
    pub(super) skus: &'a [Sku],
    pub(super) price_values: Vec<String>,
}

impl Shop<'_> {
    /// The answer to a search with one group left out: rows, and for groups of SKUs the pairs.
    pub(super) fn matches(&self, search: &Search, style: &Style, without: Option<Group>) -> bool {
        let asked = |group: &Group| Some(*group) != without && is_narrowed(search, *group);
        let of_style = Group::ALL.into_iter().filter(|g| !g.is_of_sku()).filter(asked);
        let of_sku: Vec<Group> = Group::ALL.into_iter().filter(|g| g.is_of_sku()).filter(asked).collect();
        let accepted = of_style.into_iter().all(|group| {
            let values = style_values(group, style);
            chosen(search, group, &values) && ranged(search, group, style_number(group, style))
        });
        let one_sku = of_sku.is_empty()
            || self.run(style).iter().any(|sku| self.sku_matches(search, style, sku, &of_sku));
        !style.retired && holds_words(search, style) && accepted && one_sku
    }

    pub(super) fn sku_matches(&self, search: &Search, style: &Style, sku: &Sku, groups: &[Group]) -> bool {
        groups.iter().all(|group| match group {
            Group::Size => self.size_matches(search, style, sku),
            Group::Width => chosen(search, *group, &[sku.width.as_deref().unwrap_or(NOT_GIVEN).into()]),
            Group::Stock => chosen(search, *group, &[stock_value(sku).into()]),
            _ => chosen(search, *group, &[self.price_value(sku)]) && ranged(search, *group, price(sku)),
        })
    }

    pub(super) fn size_matches(&self, search: &Search, style: &Style, sku: &Sku) -> bool {
        let by_feet = search.feet.is_empty() || search.feet.iter().any(|foot| self.fits(style, sku, *foot));
        let values = search.choices.get(&Group::Size).map(|choice| &choice.values);
        let by_label = values.is_none_or(|values| {
            values.is_empty() || values.iter().any(|value| self.has_size(style, sku, value))
        });
        in_stock(sku) && by_feet && by_label
    }

    pub(super) fn has_size(&self, style: &Style, sku: &Sku, value: &str) -> bool {
        match size_label(value) {
            _ if !in_stock(sku) => false,
            None => sku.label.foot(style.audience).is_none(),
            Some(label) => label.foot(style.audience).is_some_and(|foot| self.fits(style, sku, foot)),
        }
    }

    /// Design 8, word for word.
    pub(super) fn fits(&self, style: &Style, sku: &Sku, foot: FootLength) -> bool {
        let Some(own) = sku.label.foot(style.audience) else { return false };
        let system = sku.label.system().unwrap();
        let run: Vec<FootLength> = self
            .run(style)
            .iter()
            .filter(|other| other.label.system() == Some(system))
            .filter_map(|other| other.label.foot(style.audience))
            .collect();
        (own.in_360ths() - foot.in_360ths()).abs() <= half_step_of_run(system, &run)
    }

    pub(super) fn run(&self, style: &Style) -> Vec<&Sku> {
        self.skus.iter().filter(|sku| sku.style == style.key).collect()
    }

    /// The band of a price, by the value texts of the answer: `-120`, `120-150`, `150-`.
    pub(super) fn price_value(&self, sku: &Sku) -> String {
        let Some(price) = price(sku) else { return NOT_GIVEN.into() };
        let holds = |value: &&String| match value.split_once('-') {
            Some((from, to)) => {
                let end = |text: &str, open: i64| text.parse::<i64>().map_or(open, |n| n * 100);
                (end(from, i64::MIN)..end(to, i64::MAX)).contains(&price)
            }
            None => false,
        };
        self.price_values.iter().find(holds).unwrap().clone()
    }

    /// How many styles a value would show, its own group's selection left out.
    pub(super) fn count(
        &self,
        search: &Search,
        group: Group,
        has: impl Fn(&Style, Option<&Sku>) -> bool,
    ) -> u32 {
        let of_sku: Vec<Group> = Group::ALL
            .into_iter()
            .filter(|g| g.is_of_sku() && *g != group && is_narrowed(search, *g))
            .collect();
        let counted = |style: &&Style| {
            self.matches(search, style, Some(group))
                && if group.is_of_sku() {
                    let run = self.run(style);
                    run.iter()
                        .any(|sku| self.sku_matches(search, style, sku, &of_sku) && has(style, Some(sku)))
                } else {
                    has(style, None)
                }
        };
        self.styles.iter().filter(counted).count() as u32
    }

    pub(super) fn has_value(&self, group: Group, value: &str, style: &Style, sku: Option<&Sku>) -> bool {
        match (group, sku) {
            (Group::Size, Some(sku)) => self.has_size(style, sku, value),
            (Group::Width, Some(sku)) => sku.width.as_deref().unwrap_or(NOT_GIVEN) == value,
            (Group::Stock, Some(sku)) => stock_value(sku) == value,
            (Group::Price, Some(sku)) => self.price_value(sku) == value,
            _ => style_values(group, style).iter().any(|own| own == value),
        }
    }
}

pub(super) fn is_narrowed(search: &Search, group: Group) -> bool {
    search.choices.get(&group).is_some_and(|choice| !choice.values.is_empty())
        || search.ranges.get(&group).is_some_and(|range| range.from.is_some() || range.to.is_some())
        || (group == Group::Size && !search.feet.is_empty())
}

pub(super) fn chosen(search: &Search, group: Group, own: &[String]) -> bool {
    let Some(choice) = search.choices.get(&group).filter(|choice| !choice.values.is_empty()) else {
        return true;
    };
    choice.values.iter().chain(&choice.admitted).any(|value| own.contains(value))
}

pub(super) fn ranged(search: &Search, group: Group, number: Option<i64>) -> bool {
    let Some(range) = search.ranges.get(&group).filter(|range| range.from.or(range.to).is_some()) else {
        return true;
    };
    number.map_or(range.keep_unknown, |n| {
        n >= range.from.unwrap_or(i64::MIN) && n <= range.to.unwrap_or(i64::MAX)
    })
}

pub(super) fn holds_words(search: &Search, style: &Style) -> bool {
    search.words.is_empty()
        || style.name.to_lowercase().split(' ').any(|word| word.starts_with(&search.words))
}

pub(super) fn style_values(group: Group, style: &Style) -> Vec<String> {
    let specification = &style.specification;
    let one = |word: Option<&str>| vec![word.unwrap_or(NOT_GIVEN).to_owned()];
    let some = |words: Vec<&str>| {
        if words.is_empty() { one(None) } else { words.into_iter().map(str::to_owned).collect() }
    };
    let yes_no = |answer: Option<bool>| one(answer.map(|yes| if yes { "yes" } else { "no" }));
    match group {
        Group::Audience => one(style.audience.map(Audience::word)),
        Group::Maker => one(Some(style.key.maker().as_str())),
        Group::Surface => some(style.surfaces.iter().map(Surface::word).collect()),
        Group::Purpose => some(style.purposes.iter().map(Purpose::word).collect()),
        Group::Bending => one(specification.bending_word().map(BendingWord::word)),
        Group::Plate => yes_no(specification.plate),
        Group::Rocker => yes_no(specification.rocker),
        Group::ShopNote => {
            let note = style.shop_note.as_deref().unwrap_or_default();
            let other = note.contains("laces bite").then_some("other note");
            some(FIT_NOTES.into_iter().filter(|word| note.contains(word)).chain(other).collect())
        }
        Group::Devices => one(specification.devices.map(|n| if n > 0 { "some" } else { "none" })),
        _ => one(style_number(group, style).map(|number| band(group, number))),
    }
}

/// Design 9, word for word, over whole units.
pub(super) fn band(group: Group, tenths: i64) -> &'static str {
    match (group, tenths) {
        (Group::Drop, ..30) => "0-2",
        (Group::Drop, 30..60) => "3-5",
        (Group::Drop, 60..90) => "6-8",
        (Group::Drop, _) => "9-",
        (Group::Stack, ..200) => "-19",
        (Group::Stack, 200..280) => "20-27",
        (Group::Stack, 280..360) => "28-35",
        (Group::Stack, 360..=400) => "36-40",
        (Group::Stack, _) => "41-",
        (_, ..2000) => "-199",
        (_, 2000..2500) => "200-249",
        (_, 2500..3000) => "250-299",
        _ => "300-",
    }
}

pub(super) fn style_number(group: Group, style: &Style) -> Option<i64> {
    let measures = Measures::of(&style.specification, style.audience);
    let tenths = match group {
        Group::Drop => measures.drop().map(Mm::in_tenths),
        Group::Stack => measures.heel_stack().map(Mm::in_tenths),
        Group::Mass => measures.mass().map(Grams::in_tenths),
        _ => None,
    };
    tenths.map(i64::from)
}

pub(super) fn price(sku: &Sku) -> Option<i64> {
    sku.price.map(|price| i64::from(price.0))
}

pub(super) fn in_stock(sku: &Sku) -> bool {
    sku.quantity.is_some_and(Quantity::in_stock)
}

pub(super) fn stock_value(sku: &Sku) -> &'static str {
    match sku.quantity {
        None => NOT_GIVEN,
        Some(quantity) if quantity.in_stock() => "yes",
        Some(_) => "no",
    }
}
