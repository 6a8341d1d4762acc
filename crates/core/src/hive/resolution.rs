//! How finely a hive is cut into cells.

/// Levels of grid.
///
/// For the demo pair (ten- and eight-frame, two boxes each): about 2,100, 8,800, 30,000 and 58,000 unknowns. Mean comb
/// temperature over the outside at 12 and 6 W spread over the combs: coarse 3 to 5 %, normal 1 to 2 % above halved. Fine lies
/// another 6 % above, because there the comb must first pass its heat to the seam, which the homogenised comb does not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Resolution {
    /// One cell through a wall layer, two frames in a cell: for sweeps over many variants.
    Coarse,
    /// Two cells through a wall layer, one frame in a cell: the default.
    Normal,
    /// The same medium as normal in cells about half as wide: shows the error of the grid alone.
    Halved,
    /// Three cells through a wall layer, comb and seam apart: shows what a homogenised comb leaves out.
    Fine,
}

/// Cell sizes of one level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// Cells through a layer of a wall.
    pub layer_cells: usize,
    /// Frames per cell across the combs; 0 = comb and seam have cells of their own.
    pub frames_per_cell: f64,
    /// Width of a cell at an interface inside boxes, m.
    pub at_interface: f64,
    /// Growth from there.
    pub growth: f64,
    /// Greatest width inside boxes, m.
    pub widest: f64,
}

impl Resolution {
    /// "coarse", "normal", "fine" or "halved".
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Coarse => "coarse",
            Self::Normal => "normal",
            Self::Fine => "fine",
            Self::Halved => "halved",
        }
    }

    /// Cell sizes of this level.
    #[must_use]
    pub fn steps(self) -> Steps {
        match self {
            Self::Coarse => Steps {
                layer_cells: 1,
                frames_per_cell: 2.0,
                at_interface: 0.04,
                growth: 2.0,
                widest: 0.11,
            },
            Self::Normal => Steps {
                layer_cells: 2,
                frames_per_cell: 1.0,
                at_interface: 0.032,
                growth: 1.5,
                widest: 0.07,
            },
            Self::Halved => Steps {
                layer_cells: 3,
                frames_per_cell: 0.5,
                at_interface: 0.018,
                growth: 1.4,
                widest: 0.036,
            },
            Self::Fine => Steps {
                layer_cells: 3,
                frames_per_cell: 0.0,
                at_interface: 0.012,
                growth: 1.4,
                widest: 0.025,
            },
        }
    }
}
