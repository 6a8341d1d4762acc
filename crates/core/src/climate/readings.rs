//! The rows of a file by column: a quantity that no row has takes no memory, one that occurs 8 bytes a row.

use std::marker::PhantomData;

use crate::climate::quantity::{Quantity, Values};
use crate::climate::raw::Row;
use crate::climate::steps::Steps;

/// Rows in file order, kept by column.
#[derive(Debug, Clone)]
pub struct Readings<V> {
    pub(super) lines: Steps,
    pub(super) minutes: Steps,
    /// One for each quantity of `V`, in their order. `NaN` is missing (no file holds one), and so is all behind a column's end.
    pub(super) columns: Vec<Vec<f64>>,
    /// Rows for which a column makes room at once, so that it is not moved while it grows.
    expected: usize,
    values: PhantomData<V>,
}

impl<V: Values> Readings<V> {
    /// No rows yet, about so many to come.
    #[must_use]
    pub fn expecting(rows: usize) -> Self {
        Self {
            lines: Steps::default(),
            minutes: Steps::default(),
            columns: vec![Vec::new(); V::QUANTITIES.len()],
            expected: rows,
            values: PhantomData,
        }
    }

    /// How many rows there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.minutes.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Puts a row behind them.
    pub fn push(&mut self, mut row: Row<V>) {
        let before = self.len();
        for (quantity, column) in V::QUANTITIES.iter().zip(&mut self.columns) {
            if let Some(x) = *(quantity.slot)(&mut row.values) {
                if column.len() == column.capacity() {
                    column.reserve_exact(self.expected.saturating_sub(column.len()));
                }
                column.resize(before, f64::NAN);
                column.push(x);
            }
        }
        self.lines.push(i64::try_from(row.line).unwrap_or(0));
        self.minutes.push(row.minute);
    }

    /// Puts other rows behind them.
    pub fn append(&mut self, other: Self) {
        let before = self.len();
        for (column, theirs) in self.columns.iter_mut().zip(other.columns) {
            if !theirs.is_empty() {
                column.resize(before, f64::NAN);
                column.extend(theirs);
            }
        }
        self.lines.extend(other.lines.from(0));
        self.minutes.extend(other.minutes.from(0));
    }

    /// The line and minute at a place with the values there.
    fn row(&self, place: usize, line: i64, minute: i64) -> Row<V> {
        let mut values = V::default();
        for (quantity, column) in V::QUANTITIES.iter().zip(&self.columns) {
            if let Some(x) = column.get(place).filter(|x| !x.is_nan()) {
                *(quantity.slot)(&mut values) = Some(*x);
            }
        }
        Row::new(usize::try_from(line).unwrap_or(0), minute, values)
    }

    /// The row at a place (0-based).
    #[must_use]
    pub fn get(&self, place: usize) -> Option<Row<V>> {
        let (line, minute) = self.lines.get(place).zip(self.minutes.get(place))?;
        Some(self.row(place, line, minute))
    }

    /// Each row.
    pub fn iter(&self) -> impl Iterator<Item = Row<V>> + '_ {
        let stamps = self.lines.from(0).zip(self.minutes.from(0)).enumerate();
        stamps.map(|(place, (line, minute))| self.row(place, line, minute))
    }

    /// Every value of a quantity that is known: its place, its minute and itself.
    pub fn known(&self, quantity: &Quantity<V>) -> impl Iterator<Item = (usize, i64, f64)> + '_ {
        let column = V::QUANTITIES.iter().position(|q| q.name == quantity.name);
        let column = column.and_then(|i| self.columns.get(i));
        let values = column.map_or(&[][..], Vec::as_slice).iter().enumerate();
        values
            .zip(self.minutes.from(0))
            .filter(|((_, x), _)| !x.is_nan())
            .map(|((place, x), minute)| (place, minute, *x))
    }

    /// Puts a quantity's values, one a row, in the place of those there were; `NaN` for a missing one.
    pub fn put(&mut self, quantity: &Quantity<V>, values: Vec<f64>) {
        let mut each = V::QUANTITIES.iter().zip(&mut self.columns);
        if let Some((_, column)) = each.find(|(q, _)| q.name == quantity.name) {
            *column = values;
        }
    }

    /// Of rows that go forward in time those whose minute lies within `from` to `to`, with one neighbour on each side.
    #[must_use]
    pub fn window(&self, from: i64, to: i64) -> Self {
        let first = self.minutes.below(from).saturating_sub(1);
        let end = (self.minutes.below(to.saturating_add(1)) + 1).min(self.len());
        let cut = |column: &Vec<f64>| {
            let end = end.min(column.len());
            column.get(first..end).unwrap_or(&[]).to_vec()
        };
        let mut out = Self::expecting(0);
        out.columns = self.columns.iter().map(cut).collect();
        let count = end.saturating_sub(first);
        out.lines.extend(self.lines.from(first).take(count));
        out.minutes.extend(self.minutes.from(first).take(count));
        out
    }

    /// Drops the rows behind the last one that has a value.
    pub fn drop_empty_end(&mut self) {
        let last = self.columns.iter().map(Vec::len).max().unwrap_or(0);
        self.lines.truncate(last);
        self.minutes.truncate(last);
    }
}

impl<V: Values> Default for Readings<V> {
    fn default() -> Self {
        Self::expecting(0)
    }
}

impl<V: Values> PartialEq for Readings<V> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl<V: Values> Extend<Row<V>> for Readings<V> {
    fn extend<T: IntoIterator<Item = Row<V>>>(&mut self, rows: T) {
        rows.into_iter().for_each(|row| self.push(row));
    }
}

impl<V: Values> FromIterator<Row<V>> for Readings<V> {
    fn from_iter<T: IntoIterator<Item = Row<V>>>(rows: T) -> Self {
        let mut out = Self::default();
        out.extend(rows);
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::quantity::hour;
    use crate::climate::raw::{HourRow, HourValues};

    /// Rows of which each has its own line, minute and some of the quantities, with awkward numbers among them.
    fn rows(count: usize) -> Vec<HourRow> {
        let mut seed = crate::random::Random(3);
        let mut minute = -500;
        let mut row = |i: usize| {
            minute += [60, 60, 60, 7][seed.below(4)];
            let mut values = HourValues::default();
            for quantity in HourValues::QUANTITIES {
                let x = [-0.0, 1e300, f64::INFINITY, 0.1 * i as f64][seed.below(4)];
                *(quantity.slot)(&mut values) = (seed.below(3) > 0).then_some(x);
            }
            // Snow comes late and goes early, wind never blows.
            values.snow_depth = values.snow_depth.filter(|_| (20..30).contains(&i));
            values.wind = None;
            HourRow::new(2 * i + 3, minute, values)
        };
        (0..count).map(&mut row).collect()
    }

    /// Down to the last bit, which `==` does not see of a nought.
    fn bits(rows: impl IntoIterator<Item = HourRow>) -> Vec<String> {
        rows.into_iter().map(|r| format!("{r:?}")).collect()
    }

    /// Catches a value, a line or a minute lost, changed or moved to another row or quantity on its way into columns and out.
    #[test]
    fn rows_come_out_as_they_went_in() {
        let rows = rows(50);
        let kept: Readings<HourValues> = rows.iter().copied().collect();
        assert_eq!(bits(kept.iter()), bits(rows.clone()));
        assert_eq!(
            bits((0..60).filter_map(|i| kept.get(i))),
            bits(rows.clone())
        );
        assert!(kept.columns.iter().any(Vec::is_empty), "no wind");
        let (front, back) = rows.split_at(17);
        let mut both: Readings<HourValues> = front.iter().copied().collect();
        both.append(back.iter().copied().collect());
        assert_eq!(bits(both.iter()), bits(rows.clone()));
        assert!(both == kept);
        both.minutes.shift(1);
        assert!(both != kept);
        let snow: Vec<_> = kept.known(&hour::SNOW).collect();
        let wanted = rows.iter().enumerate();
        let wanted = wanted.filter_map(|(i, r)| Some((i, r.minute, r.values.snow_depth?)));
        assert_eq!(snow, wanted.collect::<Vec<_>>());
        assert_eq!(kept.known(&hour::WIND).count(), 0);
    }

    /// Catches a window without its neighbours, with a row too many, or with the values of other rows.
    #[test]
    fn a_window_has_one_neighbour_on_each_side() {
        let rows = rows(50);
        let kept: Readings<HourValues> = rows.iter().copied().collect();
        for (a, b) in [(0, 49), (10, 20), (18, 35), (45, 49), (7, 7)] {
            let (from, to) = (rows[a].minute, rows[b].minute);
            let wanted = &rows[a.saturating_sub(1)..(b + 2).min(50)];
            assert_eq!(bits(kept.window(from, to).iter()), bits(wanted.to_vec()));
            let inside = kept.window(from - 1, to + 1);
            assert_eq!(bits(inside.iter()), bits(wanted.to_vec()));
        }
        assert_eq!(kept.window(-10_000, -9_000).len(), 1);
        assert_eq!(kept.window(90_000, 99_000).len(), 1);
    }

    /// Catches empty rows left at the end, or a row with a value dropped with them.
    #[test]
    fn an_empty_end_is_dropped() {
        let mut all = rows(10);
        let empty = |i: i64| HourRow::new(100, 9000 + 60 * i, HourValues::default());
        all.insert(5, HourRow::new(13, all[4].minute, HourValues::default()));
        let mut kept: Readings<HourValues> = all.iter().copied().chain((0..4).map(empty)).collect();
        kept.drop_empty_end();
        assert_eq!(bits(kept.iter()), bits(all));
    }
}
