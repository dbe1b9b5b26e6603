//! The size that a row speaks of: named by label and system, or told by a GTIN.

use catalogue::key::{SkuKey, StyleKey};
use catalogue::size::{SizeLabel, SizeSystem};

use super::faults::RowFault;
use super::identity::Found;
use super::row::{RowReader, cell_of};
use crate::cells::says_nothing;
use crate::columns::{GTIN, SIZE, SIZE_SYSTEM};
use crate::draft::{ReadCell, Sizes, Value};
use crate::finding::{Code, Finding};
use crate::heading::Unit;
use crate::mapping::{MappedColumn, TabMapping, system_of_numbers};
use crate::sheet::Row;

impl<'s> RowReader<'s> {
    /// Gives the cells of a row, those from `from` on, to the sizes it speaks of: those of its run, the one it names, or
    /// the one its GTIN is of. Where it speaks of none, they stay as they are.
    pub(super) fn skus(
        &self,
        at: u32,
        row: &'s Row,
        found: &Found,
        from: usize,
        sizes: &mut Sizes,
        findings: &mut Vec<Finding>,
    ) {
        if self.plan.has_run {
            let parts = (self.text(row, self.plan.colourway), self.text(row, self.plan.width));
            return self.run((at, row), &found.style, parts, from, sizes, findings);
        }
        let cells = sizes.cells_from(from);
        let gtin = cell_of(cells, &GTIN).and_then(|cell| cell.value.int());
        if let Some(key) = self.size_of_gtin(found, gtin, cells) {
            // Its name stands in the catalogue already.
            let names = |cell: &mut ReadCell| crate::proposal::Entity::Sku.names(cell.column.key);
            sizes.cells.extract_if(from.., names).for_each(drop);
            sizes.push(key, from);
        } else if let Some(key) = self.named_size(row, &found.style, cells, findings) {
            if let Some(gtin) = gtin {
                self.identity.meet_gtin(gtin, &found.style, &key);
            }
            let system = self.told_system(at, cells);
            sizes.cells.extend(system);
            sizes.push(key, from);
        }
    }

    /// The size that a GTIN is of: where the row is joined by it, or names no size, or no colourway to name one fully.
    fn size_of_gtin(&self, found: &Found, gtin: Option<i64>, cells: &[ReadCell]) -> Option<SkuKey> {
        if found.sku.is_some() {
            return found.sku.clone();
        }
        if self.plan.size.is_some() && self.plan.colourway.is_some() {
            return None;
        }
        let (style, sku) = self.identity.of_gtin(gtin?)?;
        (style == found.style && self.other_size(&sku, cells).is_none()).then_some(sku)
    }

    /// The key of the size that a row names; `None` when it names none.
    fn named_size(
        &self,
        row: &'s Row,
        style: &StyleKey,
        cells: &[ReadCell],
        findings: &mut Vec<Finding>,
    ) -> Option<SkuKey> {
        let mapped = self.plan.size?;
        let size = cell_of(cells, &SIZE)?;
        let system = self.system(mapped, cells);
        if system.is_none() {
            let say = "No system is named for this size: EU, UK or US. Until it is, the size matches no runner. Name it in the heading, such as \"Size EU\", or in the mapping.";
            findings.push(self.finding(row, mapped, Code::SizeSystemUnknown, say.to_owned()));
        }
        let parts = [self.text(row, self.plan.colourway), self.text(row, self.plan.width)];
        let printed = [parts[0], self.text(row, self.plan.system), self.text(row, Some(mapped.at)), parts[1]];
        if let Some(tail) = self.tails.borrow().get(&printed) {
            return Some(SkuKey::behind(style, tail));
        }
        let label = SizeLabel::parse(system, size.value.text()?)?;
        let tail = SkuKey::tail(parts[0], &label, parts[1]);
        let key = SkuKey::behind(style, &tail);
        self.tails.borrow_mut().insert(printed, tail);
        Some(key)
    }

    /// The system of a size whose cells do not say it, where heading, owner or numbers have told it.
    fn told_system(&self, at: u32, cells: &[ReadCell]) -> Option<ReadCell> {
        if cell_of(cells, &SIZE_SYSTEM).is_some() {
            return None;
        }
        let value = Value::Text(self.system(self.plan.size?, cells)?.word().into());
        Some(ReadCell { column: &SIZE_SYSTEM, value, at: self.at(at, None) })
    }

    /// The system of a size: its own cell or column, else the heading, the owner, the numbers.
    fn system(&self, size: &MappedColumn, cells: &[ReadCell]) -> Option<SizeSystem> {
        let own = cell_of(cells, &SIZE_SYSTEM);
        match (own.map(|cell| &cell.value), size.unit) {
            (Some(Value::Text(word)), _) => SizeSystem::from_word(word),
            (_, Some(Unit::System(system))) => Some(system),
            _ => self.whole.answers.size_system.or(self.inferred),
        }
    }

    /// A row that is joined by its GTIN and names a size beside it must mean the same size.
    pub(super) fn gtin_is_of_this_size(&self, found: &Found, cells: &[ReadCell]) -> Result<(), RowFault> {
        let Some(sku) = &found.sku else { return Ok(()) };
        let Some(label) = self.other_size(sku, cells) else { return Ok(()) };
        Err(RowFault {
            code: Code::GtinOfAnotherSize,
            column: self.plan.size.map(|mapped| mapped.at),
            text: label.to_string(),
            say: format!(
                "The row says {label}, and the catalogue knows this GTIN for {sku}. Find out which is right."
            ),
        })
    }

    /// The size that a row names, where it is not that of this SKU. A label of another system is another name for it,
    /// and no contradiction.
    fn other_size(&self, sku: &SkuKey, cells: &[ReadCell]) -> Option<SizeLabel> {
        let size = cell_of(cells, &SIZE)?.value.text()?;
        let label = SizeLabel::parse(self.system(self.plan.size?, cells), size)?;
        let (own, known) = (label.key(), sku.as_str().split('/').nth(2)?);
        let same_system = known.split('-').next() == own.split('-').next();
        (same_system && known != own).then_some(label)
    }
}

/// The system of bare sizes in a column, where neither heading nor another column says it.
pub(super) fn inferred_system(mapping: &TabMapping, rows: &[Row]) -> Option<SizeSystem> {
    let size = mapping.of(&SIZE).filter(|_| mapping.of(&SIZE_SYSTEM).is_none())?;
    if matches!(size.unit, Some(Unit::System(_))) {
        return None;
    }
    let texts = rows.iter().map(|row| row.cell(size.at).trim()).filter(|text| !says_nothing(text));
    let labels = texts.map(|text| SizeLabel::parse(None, text).map(|label| label.twelfths()));
    system_of_numbers(&labels.flatten().collect::<Vec<_>>())
}
