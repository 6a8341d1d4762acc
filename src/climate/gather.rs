//! Weather files off the disk: one file, a packed one (gzip, zip), or a folder of them, with bounds on what is read.
//!
//! What a file is, is told by its first bytes. A zip archive is opened one level deep: an archive inside an archive stays
//! closed. A folder is read one level deep, in the order of the file names.

use std::fs::File;
use std::io::{BufRead, BufReader, Cursor, ErrorKind, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use flate2::bufread::MultiGzDecoder;
use zip::ZipArchive;

use crate::climate::error::ClimateError;
use crate::climate::source::{MAX_LINE, Source, binary_kind, is_json};
use crate::diagnostic::Problems;

/// Most bytes read in all, unpacked. Thirty years of hourly values are about 15 MB; common practice, no source.
pub const MAX_BYTES: u64 = 256_000_000;
/// Most bytes of one JSON file; thirty years of six hourly values are about 17 MB; common practice, no source.
const MAX_JSON: u64 = 64_000_000;
/// Bytes from which the ratio of unpacked to packed is looked at.
const RATIO_FROM: u64 = 4_000_000;
/// Unpacked over packed size no weather table reaches: station tables shrink to between a tenth and a fortieth (own
/// measurement on the samples); the format's own limit is near 1030.
const MAX_RATIO: u64 = 200;
/// Most files of a folder or members of an archive: a century of monthly files has 1,200; common practice, no source.
const MAX_FILES: usize = 5000;
/// Ending of the file beside a weather file that says where its station is.
const BESIDE: &str = ".station.txt";

/// The texts found under one name.
#[derive(Debug, Clone)]
pub struct Gathered {
    /// As the user named it.
    pub name: String,
    /// Whether it is a folder or an archive, of which files that are no weather may be left aside.
    pub many: bool,
    /// The texts, in the order of their names, and whether each comes out of an archive.
    pub sources: Vec<(Source, bool)>,
    /// Files left aside, each with the reason.
    pub aside: Vec<(String, ClimateError)>,
    left: u64,
}

impl Gathered {
    fn new(name: String, many: bool) -> Self {
        Self {
            name,
            many,
            sources: Vec::new(),
            aside: Vec::new(),
            left: MAX_BYTES,
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
        let read = read_limited(reader, self.left, packed).and_then(|bytes| {
            self.left = self.left.saturating_sub(bytes.len() as u64);
            Source::decoded(name, bytes)
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

    /// Takes a whole file or memory block, of whatever kind.
    fn take_any(
        &mut self,
        name: &str,
        mut file: impl Read + Seek,
        size: u64,
    ) -> Result<(), ClimateError> {
        let mut head = Vec::new();
        file.by_ref()
            .take(4)
            .read_to_end(&mut head)
            .map_err(|e| io_fault(&e))?;
        file.seek(SeekFrom::Start(0)).map_err(|e| io_fault(&e))?;
        match head.as_slice() {
            [0x1f, 0x8b, ..] => {
                let unpacked = MultiGzDecoder::new(BufReader::new(file));
                let taken = self.take(name, BufReader::new(unpacked), Some(size), false);
                taken.map_err(|e| unpack_fault("gzip file", e))
            }
            [b'P', b'K', 3 | 5, ..] => self.take_zip(name, file),
            _ => self.take(name, BufReader::new(file), None, false),
        }
    }

    fn take_zip(&mut self, name: &str, file: impl Read + Seek) -> Result<(), ClimateError> {
        let broken = |reason: String| ClimateError::Unpack {
            what: "zip archive",
            reason,
        };
        let mut archive =
            ZipArchive::new(BufReader::new(file)).map_err(|e| broken(e.to_string()))?;
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

fn hidden(name: &str) -> bool {
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

/// Opens a file, a packed file or a folder.
///
/// # Errors
/// When it is missing, empty, not text, damaged, too large, or unpacks to more than any weather record.
pub fn open(path: &Path) -> Result<Gathered, Problems> {
    let name = path.display().to_string();
    let fail = |name: &str, e: ClimateError| Problems(vec![e.error(name, None)]);
    let meta = std::fs::metadata(path).map_err(|e| fail(&name, io_fault(&e)))?;
    let mut out = Gathered::new(name.clone(), meta.is_dir());
    let files = if meta.is_dir() {
        folder(path).map_err(|e| fail(&name, e))?
    } else {
        vec![path.to_owned()]
    };
    for file in &files {
        let shown = file.display().to_string();
        read_file(&mut out, file, &shown).map_err(|e| fail(&shown, e))?;
    }
    if !meta.is_dir() {
        let mut beside = path.as_os_str().to_owned();
        beside.push(BESIDE);
        let beside = PathBuf::from(beside);
        if beside.is_file() {
            let shown = beside.display().to_string();
            read_file(&mut out, &beside, &shown).map_err(|e| fail(&shown, e))?;
        }
    }
    if out.sources.is_empty() {
        return Err(match out.aside.first() {
            Some((name, fault)) => fail(name, fault.clone()),
            None => fail(&name, ClimateError::NoFiles),
        });
    }
    Ok(out)
}

/// Takes bytes already in memory, packed or not.
///
/// # Errors
/// As [`open`].
pub fn from_memory(name: &str, bytes: Vec<u8>) -> Result<Gathered, Problems> {
    let fail = |e: ClimateError| Problems(vec![e.error(name, None)]);
    let mut out = Gathered::new(name.to_owned(), false);
    let size = bytes.len() as u64;
    out.take_any(name, Cursor::new(bytes), size).map_err(fail)?;
    if out.sources.is_empty() {
        let fault = out
            .aside
            .first()
            .map_or(ClimateError::NoFiles, |(_, fault)| fault.clone());
        return Err(fail(fault));
    }
    Ok(out)
}

fn read_file(out: &mut Gathered, path: &Path, shown: &str) -> Result<(), ClimateError> {
    let size = std::fs::metadata(path).map_err(|e| io_fault(&e))?.len();
    if size > MAX_BYTES {
        return Err(too_large(MAX_BYTES));
    }
    let file = File::open(path).map_err(|e| io_fault(&e))?;
    out.take_any(shown, file, size)
}

/// The files of a folder by name; hidden ones and folders inside it are passed over.
fn folder(path: &Path) -> Result<Vec<PathBuf>, ClimateError> {
    let mut out = Vec::new();
    for entry in std::fs::read_dir(path).map_err(|e| io_fault(&e))? {
        let entry = entry.map_err(|e| io_fault(&e))?;
        if !entry.path().is_file() || hidden(&entry.file_name().to_string_lossy()) {
            continue;
        }
        if out.len() == MAX_FILES {
            return Err(ClimateError::TooManyFiles { limit: MAX_FILES });
        }
        out.push(entry.path());
    }
    out.sort();
    Ok(out)
}

fn too_large(limit: u64) -> ClimateError {
    ClimateError::TooLarge {
        limit_mb: limit / 1_000_000,
    }
}

fn io_fault(e: &std::io::Error) -> ClimateError {
    match e.kind() {
        ErrorKind::NotFound => ClimateError::Missing,
        ErrorKind::IsADirectory => ClimateError::Directory,
        _ => ClimateError::Unreadable {
            reason: e.to_string(),
        },
    }
}

/// Reads chunk by chunk and stops at the first sign that this is no weather table, so that a huge file, an endless line
/// or an archive made to swell never fills memory.
fn read_limited(
    mut reader: impl BufRead,
    left: u64,
    packed: Option<u64>,
) -> Result<Vec<u8>, ClimateError> {
    let mut bytes = Vec::new();
    let (mut line, mut in_line) = (1_usize, 0_usize);
    let (mut limit, mut lines_bounded) = (left, true);
    loop {
        let chunk = match reader.fill_buf() {
            Ok(c) => c,
            Err(e) if e.kind() == ErrorKind::Interrupted => continue,
            Err(e) => return Err(io_fault(&e)),
        };
        if chunk.is_empty() {
            return Ok(bytes);
        }
        if bytes.is_empty() {
            binary_kind(chunk)?;
            if is_json(chunk) {
                (limit, lines_bounded) = (left.min(MAX_JSON), false);
            }
        }
        for piece in chunk.split_inclusive(|b| *b == b'\n' || *b == b'\r') {
            in_line += piece.len();
            if lines_bounded && in_line > MAX_LINE {
                return Err(ClimateError::LineTooLong {
                    line,
                    limit: MAX_LINE,
                });
            }
            match piece.last() {
                Some(b'\n') => (line, in_line) = (line + 1, 0),
                Some(b'\r') => in_line = 0,
                _ => {}
            }
        }
        bytes.extend_from_slice(chunk);
        let used = chunk.len();
        reader.consume(used);
        let size = bytes.len() as u64;
        if size > limit {
            return Err(too_large(if lines_bounded { MAX_BYTES } else { limit }));
        }
        if let Some(packed) = packed
            && size > RATIO_FROM
            && size / packed.max(1) > MAX_RATIO
        {
            return Err(ClimateError::Swells { ratio: MAX_RATIO });
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;

    use super::*;

    /// Bytes without end, counted.
    struct Endless {
        byte: u8,
        read: usize,
        most: usize,
    }

    impl Read for Endless {
        fn read(&mut self, buf: &mut [u8]) -> std::io::Result<usize> {
            buf.fill(self.byte);
            self.read += buf.len();
            assert!(self.read < self.most, "read on past the limit");
            Ok(buf.len())
        }
    }

    fn endless(byte: u8, most: u64) -> BufReader<Endless> {
        BufReader::new(Endless {
            byte,
            read: 0,
            most: usize::try_from(most).unwrap(),
        })
    }

    /// Catches an endless line being read to its end: the reader must stop after the limit, not after the file.
    #[test]
    fn an_endless_line_is_refused_before_it_fills_memory() {
        let e = read_limited(endless(b'1', 4 * MAX_LINE as u64), MAX_BYTES, None).unwrap_err();
        assert!(matches!(e, ClimateError::LineTooLong { line: 1, .. }));
    }

    /// Catches JSON, whose lines are not bounded, being read without end.
    #[test]
    fn endless_json_is_refused_at_its_own_limit() {
        let head = Cursor::new(b"{\"hourly\":".to_vec());
        let reader = BufReader::new(head.chain(endless(b' ', MAX_JSON + 100_000)));
        let e = read_limited(reader, MAX_BYTES, None).unwrap_err();
        assert_eq!(e, ClimateError::TooLarge { limit_mb: 64 });
    }

    /// Catches an archive that swells a thousandfold being unpacked to its end, in gzip and in zip.
    #[test]
    fn archives_that_swell_are_refused_early() {
        let lines = vec![b'\n'; 40_000_000];
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
        let mut all = Gathered::new("folder".into(), true);
        all.left = 10;
        all.take("a", Cursor::new(b"1234567\n".to_vec()), None, false)
            .unwrap();
        let e = all
            .take("b", Cursor::new(b"1234567\n".to_vec()), None, false)
            .unwrap_err();
        assert!(matches!(e, ClimateError::TooLarge { .. }));
    }
}
