//! How finely a hive is cut into cells.

/// Three levels of grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Resolution {
    /// One cell through a wall layer, two frames in a cell: for sweeps over many variants.
    Coarse,
    /// Two cells through a wall layer, one frame in a cell: the default.
    Normal,
    /// Three cells through a wall layer, comb and seam apart: to see what the other two leave out.
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
    /// Cell sizes of this level.
    #[must_use]
    pub fn steps(self) -> Steps {
        match self {
            Self::Coarse => Steps {
                layer_cells: 1,
                frames_per_cell: 2.0,
                at_interface: 0.06,
                growth: 2.0,
                widest: 0.13,
            },
            Self::Normal => Steps {
                layer_cells: 2,
                frames_per_cell: 1.0,
                at_interface: 0.04,
                growth: 1.5,
                widest: 0.07,
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
