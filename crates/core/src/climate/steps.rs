//! Whole numbers that mostly go up by the same step, as line numbers and the minutes of regular readings do.

/// Such numbers, in order of their places (0-based, at most `u32::MAX` of them), kept as runs: a run of equal steps takes 16 bytes
/// however long it is, numbers without any rule 8 bytes each.
#[derive(Debug, Clone, Default)]
pub(super) struct Steps {
    runs: Vec<Run>,
    len: u32,
}

/// The numbers `first`, `first + step`, ... from a place on, to where the next run begins.
#[derive(Debug, Clone, Copy)]
struct Run {
    first: i64,
    step: i32,
    from: u32,
}

impl Run {
    fn at(&self, place: u32) -> i64 {
        self.first + i64::from(self.step) * (i64::from(place) - i64::from(self.from))
    }
}

/// A number of places as it is kept.
fn short(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}

impl Steps {
    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.len as usize
    }

    /// Puts one more behind them.
    pub(super) fn push(&mut self, number: i64) {
        let place = self.len;
        self.len += 1;
        if let Some(run) = self.runs.last_mut() {
            if place - run.from == 1
                && let Ok(step) = i32::try_from(number - run.first)
            {
                run.step = step;
            }
            if run.at(place) == number {
                return;
            }
        }
        self.runs.push(Run {
            first: number,
            step: 0,
            from: place,
        });
    }

    /// The number at a place.
    pub(super) fn get(&self, place: usize) -> Option<i64> {
        let place = u32::try_from(place).ok().filter(|p| *p < self.len)?;
        let behind = self.runs.partition_point(|r| r.from <= place);
        let run = self.runs.get(behind.checked_sub(1)?)?;
        Some(run.at(place))
    }

    /// The number of a line at a place; 0 where there is none.
    pub(super) fn line(&self, place: usize) -> usize {
        usize::try_from(self.get(place).unwrap_or(0)).unwrap_or(0)
    }

    /// The numbers from a place on.
    pub(super) fn from(&self, place: usize) -> impl Iterator<Item = i64> + '_ {
        let start = short(place);
        let run = self.runs.partition_point(|r| r.from <= start);
        let runs = self.runs.get(run.saturating_sub(1)..).unwrap_or(&[]);
        let ends = runs.iter().skip(1).map(|r| r.from).chain([self.len]);
        runs.iter()
            .zip(ends)
            .flat_map(move |(run, end)| (run.from.max(start)..end).map(|place| run.at(place)))
    }

    /// How many of numbers that go up are below one.
    pub(super) fn below(&self, number: i64) -> usize {
        let behind = self.runs.partition_point(|r| r.first < number);
        let Some(run) = behind.checked_sub(1).and_then(|i| self.runs.get(i)) else {
            return 0;
        };
        let end = self.runs.get(behind).map_or(self.len, |r| r.from);
        let steps = (number - run.first - 1) / i64::from(run.step.max(1));
        let below = usize::try_from(steps).unwrap_or(0).saturating_add(1);
        below.min((end - run.from) as usize) + run.from as usize
    }

    /// Adds the same to each.
    pub(super) fn shift(&mut self, by: i64) {
        self.runs.iter_mut().for_each(|r| r.first += by);
    }

    /// Drops all from a place on.
    pub(super) fn truncate(&mut self, len: usize) {
        self.len = self.len.min(short(len));
        self.runs
            .truncate(self.runs.partition_point(|r| r.from < self.len));
    }
}

impl Extend<i64> for Steps {
    fn extend<T: IntoIterator<Item = i64>>(&mut self, numbers: T) {
        numbers.into_iter().for_each(|n| self.push(n));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(numbers: &[i64]) -> Steps {
        let mut out = Steps::default();
        out.extend(numbers.iter().copied());
        out
    }

    /// Catches a number lost, changed or moved where runs begin and end, by every way to them.
    #[test]
    fn numbers_come_out_as_they_went_in() {
        let mut seed = crate::random::Random(5);
        for round in 0..300 {
            let mut numbers = vec![-7];
            for _ in 0..seed.below(40) {
                let step = [60, 60, 60, 1, 5, i64::from(i32::MAX) + 9][seed.below(3 + round % 4)];
                numbers.push(numbers[numbers.len() - 1] + step);
            }
            let mut s = steps(&numbers);
            assert_eq!(s.len(), numbers.len());
            for place in 0..=numbers.len() {
                assert_eq!(s.get(place), numbers.get(place).copied());
                assert!(s.from(place).eq(numbers[place..].iter().copied()));
            }
            for near in numbers.iter().flat_map(|n| [n - 1, *n, n + 1]) {
                assert_eq!(s.below(near), numbers.partition_point(|n| *n < near));
            }
            s.truncate(numbers.len() / 2);
            s.shift(3);
            s.push(100);
            s.push(7);
            let mut wanted: Vec<i64> = numbers[..numbers.len() / 2].iter().map(|n| n + 3).collect();
            wanted.extend([100, 7]);
            assert!(s.from(0).eq(wanted));
        }
    }

    /// Catches regular readings, or rows that share a line, taking memory each.
    #[test]
    fn regular_numbers_are_one_run() {
        let times: Vec<i64> = (0..1000).map(|i| 60 * i).collect();
        assert_eq!(steps(&times).runs.len(), 1);
        assert_eq!(steps(&[3; 1000]).runs.len(), 1);
    }
}
