//! Work on all threads, or on one where there are no threads (feature `threads`, off in a browser). The order of results is that of the input
//! either way.

#[cfg(feature = "threads")]
pub(crate) use rayon::{current_num_threads, join, prelude};

#[cfg(not(feature = "threads"))]
pub(crate) use one_thread::{current_num_threads, join, prelude};

#[cfg(not(feature = "threads"))]
mod one_thread {
    pub(crate) fn current_num_threads() -> usize {
        1
    }

    pub(crate) fn join<A, B>(a: impl FnOnce() -> A, b: impl FnOnce() -> B) -> (A, B) {
        (a(), b())
    }

    pub(crate) mod prelude {
        /// Iterators of one thread under the names of those of many.
        pub(crate) trait Slices<T> {
            fn par_iter(&self) -> std::slice::Iter<'_, T>;
            fn par_iter_mut(&mut self) -> std::slice::IterMut<'_, T>;
        }

        /// One scratch for all items, as each thread has one.
        pub(crate) trait MapInit: Iterator + Sized {
            fn map_init<S, R>(
                self,
                init: impl Fn() -> S,
                mut f: impl FnMut(&mut S, Self::Item) -> R,
            ) -> impl Iterator<Item = R> {
                let mut scratch = init();
                self.map(move |item| f(&mut scratch, item))
            }
        }

        impl<I: Iterator> MapInit for I {}

        impl<T> Slices<T> for [T] {
            fn par_iter(&self) -> std::slice::Iter<'_, T> {
                self.iter()
            }

            fn par_iter_mut(&mut self) -> std::slice::IterMut<'_, T> {
                self.iter_mut()
            }
        }
    }
}
