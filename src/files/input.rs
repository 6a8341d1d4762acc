//! Reading what a user names, with a limit that holds for files that grow, devices and pipes too.

use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::Path;

/// How long a pipe may stay silent before it is told that nobody writes into it, s (a choice: a slow program has begun by then).
#[cfg(unix)]
const PATIENCE_S: i64 = 5;

/// Why bytes could not be had.
#[derive(Debug, thiserror::Error)]
pub enum InputError {
    /// There are more of them.
    #[error("it is larger than {} MB", .0 >> 20)]
    TooLarge(u64),
    /// Reading failed.
    #[error("{0}")]
    Io(#[from] io::Error),
}

/// Opens a file, device or pipe for reading.
///
/// # Errors
/// As [`File::open`]; [`ErrorKind::TimedOut`] for a pipe that nobody writes into.
pub fn open(path: &Path) -> io::Result<File> {
    #[cfg(unix)]
    if std::fs::metadata(path)
        .is_ok_and(|m| std::os::unix::fs::FileTypeExt::is_fifo(&m.file_type()))
    {
        return open_pipe(path);
    }
    File::open(path)
}

/// Opening a pipe the usual way waits for its writer without end.
#[cfg(unix)]
fn open_pipe(path: &Path) -> io::Result<File> {
    use rustix::event::{PollFd, PollFlags, Timespec, poll};
    use rustix::fs::{Mode, OFlags};
    let pipe = rustix::fs::open(
        path,
        OFlags::RDONLY | OFlags::NONBLOCK | OFlags::CLOEXEC,
        Mode::empty(),
    )?;
    let patience = Timespec {
        tv_sec: PATIENCE_S,
        tv_nsec: 0,
    };
    if poll(&mut [PollFd::new(&pipe, PollFlags::IN)], Some(&patience))? == 0 {
        let words = format!("it is a pipe into which nothing was written for {PATIENCE_S} seconds");
        return Err(io::Error::new(ErrorKind::TimedOut, words));
    }
    let flags = rustix::fs::fcntl_getfl(&pipe)?;
    rustix::fs::fcntl_setfl(&pipe, flags - OFlags::NONBLOCK)?;
    Ok(pipe.into())
}

/// All bytes there are, if they are `most` or fewer: one more is read, whatever size is claimed.
///
/// # Errors
/// More bytes; anything that goes wrong while opening or reading.
pub fn read(path: &Path, most: u64) -> Result<Vec<u8>, InputError> {
    let file = open(path)?;
    if file.metadata().is_ok_and(|m| m.len() > most) {
        return Err(InputError::TooLarge(most));
    }
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(InputError::TooLarge(most));
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a limit that is only held by the size a file claims, and one off by one.
    #[test]
    fn a_limit_is_held_to_the_byte() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("ten");
        std::fs::write(&path, b"0123456789").unwrap();
        assert_eq!(read(&path, 10).unwrap().len(), 10);
        assert!(matches!(read(&path, 9), Err(InputError::TooLarge(9))));
        #[cfg(unix)]
        assert!(matches!(
            read(Path::new("/dev/zero"), 1000),
            Err(InputError::TooLarge(1000))
        ));
    }
}
