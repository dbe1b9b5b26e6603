//! A search made ready: for every code of every narrowed group, whether it fails.

use catalogue::size::SizeLabel;

use super::asked::{Choice, Range, Search, Warning, size_label};
use crate::snapshot::stock::{Record, Size, Stock};
use crate::snapshot::styles::Styles;
use crate::snapshot::vocabulary::{NOT_GIVEN, Vocabulary};
use crate::snapshot::{Group, Snapshot};

/// Tables that turn a code into its group's bit when the group does not accept it, else into 0.
pub(super) struct Filter {
    /// By code of a style.
    pub(super) style_fails: Vec<u16>,
    /// By code of a SKU.
    pub(super) sku_fails: Vec<u16>,
    /// The places of the narrowed groups of styles.
    pub(super) style_places: Vec<usize>,
    /// The bits of all narrowed groups.
    pub(super) active: u16,
    /// The bits of the narrowed groups of SKUs.
    pub(super) sku_active: u16,
}

impl Filter {
    pub(super) fn of(search: &Search, snapshot: &Snapshot, warnings: &mut Vec<Warning>) -> Self {
        let Snapshot { columns: Styles { level: styles, .. }, stock, .. } = snapshot;
        let mut filter = Self {
            style_fails: vec![0; styles.codes],
            sku_fails: vec![0; stock.level.codes],
            style_places: Vec::new(),
            active: 0,
            sku_active: 0,
        };
        for group in Group::ALL {
            if group.is_of_sku() {
                filter.narrow(group, &stock.level.vocabularies[group.place()], search, stock, warnings);
            } else {
                filter.narrow(group, &styles.vocabularies[group.place()], search, stock, warnings);
            }
        }
        filter
    }

    /// The groups that do not accept a style.
    pub(super) fn style_fail(&self, codes: &[u32; Group::OF_STYLE]) -> u16 {
        let fail = |mask, place: &usize| mask | self.style_fails[codes[*place] as usize];
        self.style_places.iter().fold(0, fail)
    }

    /// The same for all styles, group by group.
    pub(super) fn style_fails(&self, styles: &Styles) -> Vec<u16> {
        let mut fails = vec![0; styles.codes.len()];
        for place in &self.style_places {
            for (fail, code) in fails.iter_mut().zip(&styles.by_group[*place]) {
                *fail |= self.style_fails[*code as usize];
            }
        }
        fails
    }

    /// The groups that do not accept a SKU.
    pub(super) fn sku_fail(&self, sku: &Record) -> u16 {
        sku.codes.iter().fold(0, |mask, code| mask | self.sku_fails[*code as usize])
    }

    fn narrow(
        &mut self,
        group: Group,
        vocabulary: &Vocabulary,
        search: &Search,
        stock: &Stock,
        warnings: &mut Vec<Warning>,
    ) {
        let choice = search.choices.get(&group).filter(|choice| !choice.values.is_empty());
        let range = search.ranges.get(&group).filter(|r| !r.is_open() && vocabulary.bins.is_some());
        let feet = group == Group::Size && !search.feet.is_empty();
        if choice.is_none() && range.is_none() && !feet {
            return;
        }
        self.activate(group);
        let accepted = match choice {
            Some(choice) if group == Group::Size => by_size(choice, stock, warnings),
            Some(choice) => by_value(group, choice, vocabulary, warnings),
            None => vec![true; vocabulary.len()],
        };
        let fails = if group.is_of_sku() { &mut self.sku_fails } else { &mut self.style_fails };
        for (code, accepted) in accepted.into_iter().enumerate() {
            let passes =
                accepted && in_range(range, vocabulary, code) && (!feet || fits(search, stock, code));
            fails[vocabulary.first_code + code] = if passes { 0 } else { group.bit() };
        }
    }

    fn activate(&mut self, group: Group) {
        self.active |= group.bit();
        if group.is_of_sku() {
            self.sku_active |= group.bit();
        } else {
            self.style_places.push(group.place());
        }
    }
}

fn in_range(range: Option<&Range>, vocabulary: &Vocabulary, code: usize) -> bool {
    range.is_none_or(|range| range.accepts(vocabulary.numbers.get(code).copied().flatten()))
}

fn fits(search: &Search, stock: &Stock, code: usize) -> bool {
    match stock.sizes[code] {
        Size::Fits(fits) => search.feet.iter().any(|foot| fits.meets(*foot)),
        Size::NotInStock | Size::NoFoot => false,
    }
}

/// By code: whether it counts for one of the values that are let in.
fn by_value(group: Group, choice: &Choice, known: &Vocabulary, warnings: &mut Vec<Warning>) -> Vec<bool> {
    let place = |value: &str| known.values.iter().position(|known| *known.value == *value);
    for value in choice.values.iter().filter(|value| place(value).is_none()) {
        warnings.push(Warning::NoSuchValue { group, value: value.clone() });
    }
    let slots: Vec<u32> = choice.accepted().filter_map(place).map(|slot| slot as u32).collect();
    (0..known.len()).map(|code| known.slots(code).iter().any(|slot| slots.contains(slot))).collect()
}

/// By size code: a label finds what is made for its foot, read for the audience of each shoe, in any system and
/// whether or not that very label is in stock.
fn by_size(choice: &Choice, stock: &Stock, warnings: &mut Vec<Warning>) -> Vec<bool> {
    let is_size = |value: &str| value == NOT_GIVEN || size_label(value).is_some();
    for value in choice.values.iter().filter(|value| !is_size(value)) {
        warnings.push(Warning::NoSuchValue { group: Group::Size, value: value.clone() });
    }
    let labels: Vec<SizeLabel> = choice.accepted().filter_map(size_label).collect();
    let not_given = choice.accepted().any(|value| value == NOT_GIVEN);
    let accepts = |size: &Size| match size {
        Size::NotInStock => false,
        Size::NoFoot => not_given,
        Size::Fits(fits) => {
            labels.iter().filter_map(|label| label.foot(fits.audience)).any(|foot| fits.meets(foot))
        }
    };
    stock.sizes.iter().map(accepts).collect()
}
