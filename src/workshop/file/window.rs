//! A window of the mask: its edges in one unit or the other, and whether they fit the mirror.

use crate::units::MM_PER_INCH;
use crate::workshop::error::Complaint;
use crate::workshop::wording;
use crate::workshop::wording::{EdgeSaid, Wording};

use super::keys::ZONE;
use super::section::Section;
use super::sheet::{Sheet, SheetRow};

/// Masks are cut by hand: an outermost window may reach that far over the rim, and is then taken
/// to end there.
const RIM_TOLERANCE_MM: f64 = 1.0;

/// Unit of the readings, or of the edges of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Unit {
    Mm,
    Inch,
}

impl Unit {
    pub(super) fn name(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Inch => "inch",
        }
    }

    pub(super) fn mm(self) -> f64 {
        match self {
            Unit::Mm => 1.0,
            Unit::Inch => MM_PER_INCH,
        }
    }
}

/// The edges of a window as they were given, from the middle of the mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Edges {
    unit: Unit,
    inner: f64,
    outer: f64,
}

/// Keys and columns of the inner and of the outer edge.
fn names(unit: Unit) -> [&'static str; 2] {
    match unit {
        Unit::Mm => ["inner_mm", "outer_mm"],
        Unit::Inch => ["inner_inch", "outer_inch"],
    }
}

/// The one unit in which edges are there. A complaint comes with the key or column it is about.
fn unit_of(is_there: impl Fn(&str) -> bool) -> Result<Unit, (&'static str, Wording)> {
    let first = |unit| names(unit).into_iter().find(|name| is_there(name));
    match (first(Unit::Mm), first(Unit::Inch)) {
        (Some(mm), Some(inch)) => Err((inch, wording::window_in_two_units(mm, inch))),
        (None, Some(_)) => Ok(Unit::Inch),
        _ => Ok(Unit::Mm),
    }
}

impl Edges {
    /// In whichever unit the zone gives them, both in the same.
    pub(super) fn of_table(zone: &Section) -> Result<Edges, Complaint> {
        let unit = unit_of(|name| zone.value(name).is_some())
            .map_err(|(inch, trouble)| zone.complaint(inch, trouble))?;
        let [inner, outer] = names(unit);
        Ok(Edges {
            unit,
            inner: zone.needed_number(inner)?,
            outer: zone.needed_number(outer)?,
        })
    }

    fn said(&self, outer: bool) -> EdgeSaid {
        let [inner_key, outer_key] = names(self.unit);
        EdgeSaid {
            key: if outer { outer_key } else { inner_key },
            value: if outer { self.outer } else { self.inner },
            unit: self.unit.name(),
            mm: self.unit.mm(),
        }
    }

    /// Both edges in mm, checked against the mirror and the end of the window before; a window that reaches a
    /// little over the rim ends there. A complaint comes with the key it is about.
    pub(super) fn fitted_mm(
        &self,
        before_outer_mm: Option<f64>,
        aperture_mm: f64,
    ) -> Result<(f64, f64), (&'static str, Wording)> {
        let [inner_key, outer_key] = names(self.unit);
        let [inner_mm, outer_mm] = [self.inner, self.outer].map(|edge| edge * self.unit.mm());
        let rim_mm = aperture_mm / 2.0;
        if inner_mm >= outer_mm {
            let trouble = wording::zone_inside_out(self.said(false), self.said(true));
            return Err((inner_key, trouble));
        }
        if outer_mm > rim_mm + RIM_TOLERANCE_MM || inner_mm >= rim_mm {
            let trouble = wording::zone_beyond_mirror(self.said(true), aperture_mm);
            return Err((outer_key, trouble));
        }
        if let Some(before_mm) = before_outer_mm.filter(|before_mm| *before_mm > inner_mm) {
            let trouble = wording::zones_overlap(before_mm, self.said(false));
            return Err((inner_key, trouble));
        }
        Ok((inner_mm, outer_mm.min(rim_mm)))
    }
}

/// Where a table beside the file has the edges.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgeColumns {
    unit: Unit,
    inner: usize,
    outer: usize,
}

impl EdgeColumns {
    /// In whichever unit the head line names, both in the same.
    pub(super) fn of(sheet: &Sheet) -> Result<EdgeColumns, Complaint> {
        let unit = unit_of(|name| sheet.column(name).is_some())
            .map_err(|(_, trouble)| sheet.complaint(trouble))?;
        let [inner, outer] = names(unit);
        Ok(EdgeColumns {
            unit,
            inner: sheet.needed_column(inner)?,
            outer: sheet.needed_column(outer)?,
        })
    }

    pub(super) fn of_row(&self, row: &SheetRow) -> Result<Edges, Complaint> {
        let [inner, outer] = names(self.unit);
        Ok(Edges {
            unit: self.unit,
            inner: row.needed_number(self.inner, ZONE.key(inner))?,
            outer: row.needed_number(self.outer, ZONE.key(outer))?,
        })
    }
}
