//! What can be asked for, beyond scenario and weather.

use super::WinterChoice;
use crate::calendar::MonthDay;
use crate::ensemble::CheckWindow;
use crate::hive::Resolution;
use crate::season::{HeatModel, Method};

/// How the heat is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeatOptions {
    /// How finely the hives are divided.
    pub resolution: Resolution,
    /// Whether the full network carries every winter, some hundred times slower than the reduced one.
    pub full: bool,
    /// How much of the winter that sets the answer is gone over with the full network, to check the reduced one.
    pub check: Option<CheckWindow>,
}

impl HeatOptions {
    /// One cell per frame, checked over four weeks.
    pub const NORMAL: Self = Self {
        resolution: Resolution::Normal,
        full: false,
        check: Some(CheckWindow::Weakest),
    };
    /// The quickest grid, checked over four weeks.
    pub const COARSE: Self = Self {
        resolution: Resolution::Coarse,
        ..Self::NORMAL
    };

    /// To a tenth of a millikelvin; on the coarse grid to a whole one.
    pub(super) fn method(self) -> Method {
        match self.resolution {
            Resolution::Coarse => Method::HOURLY,
            Resolution::Normal | Resolution::Fine | Resolution::Halved => Method::CAREFUL,
        }
    }

    /// The network asked for.
    pub(super) fn model(self) -> HeatModel {
        if self.full {
            HeatModel::Full(self.method())
        } else {
            HeatModel::Reduced
        }
    }

    /// How much of a winter is to be checked; nothing where the full network carries it.
    pub(super) fn checked(self) -> Option<CheckWindow> {
        self.check.filter(|_| !self.full)
    }
}

/// Options of [`run`](super::run()) and [`yard`](super::yard).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunOptions {
    /// Which winters.
    pub winters: WinterChoice,
    /// The day on which it is asked; `None`: that of the weighing.
    pub on: Option<MonthDay>,
    /// How the heat is computed.
    pub heat: HeatOptions,
}

impl Default for RunOptions {
    /// All winters of the record on the normal grid, checked.
    fn default() -> Self {
        Self {
            winters: WinterChoice::default(),
            on: None,
            heat: HeatOptions::NORMAL,
        }
    }
}

/// Options of [`compare`](super::compare()), and of [`rank`](super::rank()) but for the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ComparisonOptions {
    /// Which winters.
    pub winters: WinterChoice,
    /// How many kinds of colony, drawn within what was measured, at least.
    pub colonies: usize,
    /// How the heat is computed.
    pub heat: HeatOptions,
}

impl Default for ComparisonOptions {
    /// All winters of the record and 32 kinds of colony on the normal grid, checked.
    fn default() -> Self {
        Self {
            winters: WinterChoice::default(),
            colonies: 32,
            heat: HeatOptions::NORMAL,
        }
    }
}

/// Options of [`rank`](super::rank()).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RankOptions {
    /// Winters, colonies and heat.
    pub contest: ComparisonOptions,
    /// The day on which it is asked; `None`: that of the weighing.
    pub on: Option<MonthDay>,
}

impl Default for RankOptions {
    /// As [`ComparisonOptions::default`] on the coarse grid: each change of the hive is a network of its own.
    fn default() -> Self {
        Self {
            contest: ComparisonOptions {
                heat: HeatOptions::COARSE,
                ..ComparisonOptions::default()
            },
            on: None,
        }
    }
}

/// Options of [`update`](super::update()).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UpdateOptions {
    /// Which winters.
    pub winters: WinterChoice,
    /// How many runs the readings are weighed against, each with its own bees and parameters.
    pub runs: usize,
    /// How the heat is computed.
    pub heat: HeatOptions,
    /// The only hive to tell of.
    pub only: Option<String>,
}

impl Default for UpdateOptions {
    /// 200 runs over all winters of the record on the coarse grid, checked.
    fn default() -> Self {
        Self {
            winters: WinterChoice::default(),
            runs: 200,
            heat: HeatOptions::COARSE,
            only: None,
        }
    }
}
