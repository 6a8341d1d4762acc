//! The hives with a colony; the same hives standing otherwise: apart, or one of them alone.

use super::{Colony, Joint, Scenario, Stack};

impl Scenario {
    /// The hives with a colony, left to right.
    pub fn colonies(&self) -> impl Iterator<Item = (&Stack, &Colony)> {
        let stacks = self.stacks.iter();
        stacks.filter_map(|s| Some((s, s.colony.as_ref()?)))
    }

    /// The same hives, each standing apart: every joint [`Joint::Apart`]. Each keeps its own cover, top layers and cladding, on all four
    /// sides (cladding of a side that faced a neighbour, which the joint hid, is then outside).
    #[must_use]
    pub fn apart(&self) -> Self {
        let mut one = self.clone();
        one.joints = vec![Joint::Apart; one.stacks.len().saturating_sub(1)];
        one
    }

    /// Only the hive of that index (from 0 at the left); `None` when there is none.
    #[must_use]
    pub fn alone(&self, i: usize) -> Option<Self> {
        let stack = self.stacks.get(i)?.clone();
        let mut one = self.clone();
        one.title = format!("{}: {} alone", one.title, stack.name);
        one.stacks = vec![stack];
        one.joints = Vec::new();
        Some(one)
    }
}
