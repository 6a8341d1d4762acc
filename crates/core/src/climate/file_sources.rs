//! The texts in weather files: one file, a packed one (gzip, zip), or several, with bounds on what is read.
//!
//! What a file is, is told by its first bytes. A zip archive is opened one level deep: an archive inside an archive stays
//! closed. Where the bytes come from is not known here: memory, or files (`files.rs`).

use std::io::{BufRead, BufReader, Cursor, Read, Seek};

use flate2::bufread::MultiGzDecoder;
use zip::ZipArchive;

use crate::climate::error::ClimateError;
use crate::climate::limits::{MAX_BYTES, MAX_LINES, MAX_ZIP, io_fault, read_limited, too_large};
use crate::climate::source::Source;
use crate::problem::Problems;

/// Most files of a folder or members of an archive: a century of monthly files has 1,200; common practice, no source.
pub const MAX_FILES: usize = 5000;
/// The texts found under one name.
#[derive(Debug, Clone)]
pub struct FileSources {
    /// As the user named it.
    pub name: String,
    /// Whether it is a folder or an archive, of which files that are no weather may be left aside.
    pub many: bool,
    /// The texts, in the order of their names, and whether each comes out of an archive.
    pub sources: Vec<(Source, bool)>,
    /// Files left aside, each with the reason.
    pub aside: Vec<(String, ClimateError)>,
    left: u64,
    lines_left: usize,
}

impl FileSources {
    /// Nothing yet, under a name.
    #[must_use]
    pub fn new(name: String, many: bool) -> Self {
        Self {
            name,
            many,
            sources: Vec::new(),
            aside: Vec::new(),
            left: MAX_BYTES,
            lines_left: MAX_LINES,
        }
    }

    /// Takes one text, plain or unpacked; `packed` is its size before unpacking.
    fn take(
        &mut self,
        name: &str,
        reader: impl BufRead,
        packed: Option<u64>,
        archived: bool,
    ) -> Result<(), ClimateError> {
        let read = read_limited(reader, self.left, self.lines_left, packed).and_then(|bytes| {
            self.left = self.left.saturating_sub(bytes.len() as u64);
            let source = Source::decoded(name, bytes)?;
            self.lines_left = self.lines_left.saturating_sub(source.line_count());
            Ok(source)
        });
        match read {
            Ok(source) => self.sources.push((source, archived)),
            Err(fault) if archived && is_no_table(&fault) => {}
            Err(fault) if self.many && is_no_table(&fault) => {
                self.aside.push((name.to_owned(), fault))
            }
            Err(fault) => return Err(fault),
        }
        Ok(())
    }

    /// Takes a whole file or memory block of `size` bytes, of whatever kind. Only archives are sought in, so that a pipe can be
    /// read too.
    ///
    /// # Errors
    /// As [`from_memory`].
    pub fn take_any(
        &mut self,
        name: &str,
        file: impl Read + Seek,
        size: u64,
    ) -> Result<(), ClimateError> {
        if size > MAX_BYTES {
            return Err(too_large(MAX_BYTES));
        }
        let mut file = BufReader::new(file);
        match file.fill_buf().map_err(|e| io_fault(&e))? {
            [0x1f, 0x8b, ..] => {
                let unpacked = BufReader::new(MultiGzDecoder::new(file));
                self.take(name, unpacked, Some(size), false)
                    .map_err(|e| unpack_fault("gzip file", e))
            }
            [b'P', b'K', 3 | 5, ..] if size > MAX_ZIP => Err(too_large(MAX_ZIP)),
            [b'P', b'K', 3 | 5, ..] => self.take_zip(name, file),
            _ => self.take(name, file, None, false),
        }
    }

    /// What was taken, if there is a text in it.
    ///
    /// # Errors
    /// When there is none: the fault of the first file left aside, if any was.
    pub fn if_any(self) -> Result<Self, Problems> {
        if !self.sources.is_empty() {
            return Ok(self);
        }
        let problem = match self.aside.first() {
            Some((file, fault)) => fault.clone().error(file, None),
            None => ClimateError::NoFiles.error(&self.name, None),
        };
        Err(problem.into())
    }

    fn take_zip(&mut self, name: &str, file: impl BufRead + Seek) -> Result<(), ClimateError> {
        let broken = |reason: String| ClimateError::Unpack {
            what: "zip archive",
            reason,
        };
        let mut archive = ZipArchive::new(file).map_err(|e| broken(e.to_string()))?;
        if archive.len() > MAX_FILES {
            return Err(ClimateError::TooManyFiles { limit: MAX_FILES });
        }
        self.many = true;
        let mut order: Vec<(String, usize)> = Vec::new();
        for i in 0..archive.len() {
            if let Some(inner) = archive.name_for_index(i) {
                let inner = inner.map_err(|e| broken(e.to_string()))?;
                order.push((inner.into_owned(), i));
            }
        }
        order.sort();
        for (inner, i) in order {
            if inner.ends_with('/') || hidden(&inner) || inner.starts_with("__MACOSX") {
                continue;
            }
            let shown: String = inner
                .chars()
                .filter(|c| !c.is_control())
                .take(100)
                .collect();
            let member = archive
                .by_index(i)
                .map_err(|e| broken(format!("{shown}: {e}")))?;
            let packed = member.compressed_size();
            self.take(
                &format!("{name}/{shown}"),
                BufReader::new(member),
                Some(packed),
                true,
            )
            .map_err(|e| unpack_fault("zip archive", e))?;
        }
        Ok(())
    }
}

/// Whether a file's name, or the end of its path in an archive, begins with a point.
#[must_use]
pub fn hidden(name: &str) -> bool {
    name.rsplit('/').next().is_some_and(|n| n.starts_with('.'))
}

/// Whether a fault means "not a table" rather than a damaged or dangerous file.
fn is_no_table(fault: &ClimateError) -> bool {
    matches!(
        fault,
        ClimateError::NotText { .. } | ClimateError::Empty | ClimateError::LineTooLong { .. }
    )
}

/// A fault of reading packed bytes is a fault of the packing.
fn unpack_fault(what: &'static str, fault: ClimateError) -> ClimateError {
    match fault {
        ClimateError::Unreadable { reason } => ClimateError::Unpack { what, reason },
        other => other,
    }
}

/// Takes bytes already in memory, packed or not.
///
/// # Errors
/// When they are empty, not text, damaged, too many, or unpack to more than any weather record.
pub fn from_memory(name: &str, bytes: Vec<u8>) -> Result<FileSources, Problems> {
    from_files(name, false, vec![(name.to_owned(), bytes)])
}

/// Takes the bytes of several files that are to make one record, packed or not, in the order given; of the files of a
/// `folder` those that are no weather are left aside.
///
/// # Errors
/// As [`from_memory`], each fault under the name of its file.
pub fn from_files(
    name: &str,
    folder: bool,
    files: Vec<(String, Vec<u8>)>,
) -> Result<FileSources, Problems> {
    let mut out = FileSources::new(name.to_owned(), folder);
    for (file, bytes) in files {
        let size = bytes.len() as u64;
        out.take_any(&file, Cursor::new(bytes), size)
            .map_err(|e| e.error(&file, None))?;
    }
    out.if_any()
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;

    use super::*;

    /// Catches an archive that swells a thousandfold being unpacked to its end, in gzip and in zip.
    #[test]
    fn archives_that_swell_are_refused_early() {
        let lines = [vec![b'1'; 999], vec![b'\n']].concat().repeat(40_000);
        let mut gz = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
        gz.write_all(&lines).unwrap();
        let e = from_memory("a.gz", gz.finish().unwrap()).unwrap_err();
        assert!(
            e.0[0].what.contains("unpacks to more than 200 times"),
            "{e}"
        );
        let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
        zip.start_file("a.txt", zip::write::SimpleFileOptions::default())
            .unwrap();
        zip.write_all(&lines).unwrap();
        let bytes = zip.finish().unwrap().into_inner();
        let e = from_memory("a.zip", bytes).unwrap_err();
        assert!(
            e.0[0].what.contains("unpacks to more than 200 times"),
            "{e}"
        );
    }

    /// Catches a total that is bounded file by file only: many files must share one bound.
    #[test]
    fn the_bound_is_on_all_files_together() {
        let mut all = FileSources::new("folder".into(), true);
        all.left = 10;
        all.take("a", Cursor::new(b"1234567\n".to_vec()), None, false)
            .unwrap();
        let e = all
            .take("b", Cursor::new(b"1234567\n".to_vec()), None, false)
            .unwrap_err();
        assert!(matches!(e, ClimateError::TooLarge { .. }));
    }
}
