//! A body placed in a reduced network.

/// What a reduced network knows of one placed body.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Its surface in coordinates of the basis.
    pub(super) rows: Vec<f64>,
    /// What the basis lacks of its own steady answer, K/W.
    pub(super) own: f64,
    /// What the basis lacks between it and each port, K/W.
    pub(super) fixed: Vec<f64>,
}
