//! A program watched from outside: how it ends, what it says, what memory and time it takes.

use std::fs::File;
use std::io::Read;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How a run ended.
#[derive(Debug)]
pub struct Ended {
    /// Exit code; `None` when it was killed, by the watch or by a signal.
    pub code: Option<i32>,
    /// What it said on standard error.
    pub said: String,
    /// Bytes on standard output.
    pub answered: usize,
    /// Most memory it held, MB; 0 where the system does not tell.
    pub megabytes: f64,
    /// Processor time, s; 0 where the system does not tell.
    pub processor_s: f64,
}

/// Longest a run may take, on a busy machine too.
const PATIENCE: Duration = Duration::from_secs(60);

/// Runs a command to its end, or to the end of the patience.
pub fn run(command: &mut Command) -> Ended {
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let drain = |mut pipe: Box<dyn Read + Send>| {
        std::thread::spawn(move || {
            let mut bytes = Vec::new();
            let _ = pipe.read_to_end(&mut bytes);
            bytes
        })
    };
    let out = drain(Box::new(child.stdout.take().unwrap()));
    let err = drain(Box::new(child.stderr.take().unwrap()));
    let (began, id) = (Instant::now(), child.id());
    let (mut megabytes, mut processor_s) = (0.0, 0.0);
    let status = loop {
        if let Some((m, s)) = usage(id) {
            (megabytes, processor_s) = (m, s);
        }
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if began.elapsed() > PATIENCE {
            let _ = child.kill();
            break child.wait().unwrap();
        }
        std::thread::sleep(Duration::from_millis(4));
    };
    Ended {
        code: status.code(),
        said: String::from_utf8_lossy(&err.join().unwrap()).into_owned(),
        answered: out.join().unwrap().len(),
        megabytes,
        processor_s,
    }
}

/// Most memory held so far, MB, and processor time, s, by the system's own books.
fn usage(id: u32) -> Option<(f64, f64)> {
    let read = |name: &str| {
        let mut text = String::new();
        File::open(format!("/proc/{id}/{name}"))
            .ok()?
            .read_to_string(&mut text)
            .ok()?;
        Some(text)
    };
    let status = read("status")?;
    let peak = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    let kb: f64 = peak.trim().strip_suffix(" kB")?.parse().ok()?;
    let stat = read("stat")?;
    // Fields behind the name in brackets; 14 and 15 of all are user and system time in hundredths of a second.
    let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks = |i: usize| fields.get(i)?.parse::<f64>().ok();
    Some((kb / 1024.0, (ticks(11)? + ticks(12)?) / 100.0))
}
