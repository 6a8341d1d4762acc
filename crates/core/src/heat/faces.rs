//! Outer faces of a body, and the groups they are gathered in.

/// Inner resistances that agree to this relative difference share a face group.
const SAME_RESISTANCE: f64 = 1e-9;

/// Outward normal of an outer face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Towards smaller x.
    XMinus,
    /// Towards larger x.
    XPlus,
    /// Towards smaller y.
    YMinus,
    /// Towards larger y.
    YPlus,
    /// Downwards.
    ZMinus,
    /// Upwards.
    ZPlus,
}

impl Side {
    /// All six, in the order of the `edges` argument of [`Network::build`](super::network::Network::build).
    pub const ALL: [Self; 6] = [
        Self::XMinus,
        Self::XPlus,
        Self::YMinus,
        Self::YPlus,
        Self::ZMinus,
        Self::ZPlus,
    ];

    /// Axis of the normal: 0, 1, 2 for x, y, z.
    #[must_use]
    pub fn axis(self) -> usize {
        self as usize / 2
    }

    /// +1 when the normal points along the axis, -1 against it.
    #[must_use]
    pub fn sign(self) -> f64 {
        if self as usize % 2 == 1 { 1.0 } else { -1.0 }
    }

    /// The side with this axis whose normal points along (`plus`) or against it.
    pub(super) fn of(axis: usize, plus: bool) -> Self {
        Self::ALL[2 * axis + usize::from(plus)]
    }
}

/// Outer faces that share zone, side and inner resistance, so that their conductance per area is one number
/// `U = 1 / (r_inner + 1/h)`.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceGroup {
    /// Outside zone.
    pub zone: u16,
    /// Outward normal.
    pub side: Side,
    /// From cell centre to surface, m2K/W.
    pub r_inner: f64,
    /// Cell numbers.
    pub cells: Vec<usize>,
    /// Node numbers.
    pub nodes: Vec<usize>,
    /// Areas, m2.
    pub areas: Vec<f64>,
    /// Middle of each face, m.
    pub centroids: Vec<[f64; 3]>,
}

impl FaceGroup {
    /// Sum of the areas, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.areas.iter().sum()
    }

    /// Conductance per area through the surface to what lies behind a film `h` (W/m2K, may be infinite), W/m2K.
    #[must_use]
    pub fn u(&self, h: f64) -> f64 {
        1.0 / (self.r_inner + 1.0 / h)
    }

    /// Surface temperature (degC) of face `i` of the group for the node temperatures `t` and a film `h` to `t_out`:
    /// `Ts = T + U r_inner (t_out - T)`.
    #[must_use]
    pub fn surface(&self, i: usize, t: &[f64], h: f64, t_out: f64) -> f64 {
        let node = t[self.nodes[i]];
        node + self.u(h) * self.r_inner * (t_out - node)
    }
}

/// An outer face before grouping.
pub(super) struct OuterFace {
    pub zone: u16,
    pub side: Side,
    pub r_inner: f64,
    pub cell: usize,
    pub node: u32,
    pub area: f64,
    pub centroid: [f64; 3],
}

/// Gathers faces of the same zone, side and inner resistance.
pub(super) fn group(mut faces: Vec<OuterFace>) -> Vec<FaceGroup> {
    faces.sort_by(|a, b| {
        (a.zone, a.side)
            .cmp(&(b.zone, b.side))
            .then(a.r_inner.total_cmp(&b.r_inner))
            .then(a.cell.cmp(&b.cell))
    });
    let mut groups: Vec<FaceGroup> = Vec::new();
    for f in faces {
        let same = groups.last().is_some_and(|g| {
            g.zone == f.zone
                && g.side == f.side
                && (f.r_inner - g.r_inner).abs() <= SAME_RESISTANCE * g.r_inner
        });
        if !same {
            groups.push(FaceGroup {
                zone: f.zone,
                side: f.side,
                r_inner: f.r_inner,
                cells: Vec::new(),
                nodes: Vec::new(),
                areas: Vec::new(),
                centroids: Vec::new(),
            });
        }
        if let Some(g) = groups.last_mut() {
            g.cells.push(f.cell);
            g.nodes.push(f.node as usize);
            g.areas.push(f.area);
            g.centroids.push(f.centroid);
        }
    }
    groups
}
