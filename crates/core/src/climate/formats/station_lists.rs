//! The networks' own lists of stations, laid into the folder of weather files that do not say where they were measured.
//!
//! `ghcnd-stations.txt` (fixed width: 1-11 station, 13-20 latitude, 22-30 longitude, 32-37 height, 42-71 name) for
//! GHCN-Daily, `isd-history.csv` (`"USAF","WBAN","STATION NAME",...,"LAT","LON","ELEV(M)",...`) for ISD-Lite. Layouts as
//! published beside the data.

use super::facts::{ELEVATION, Fact, LATITUDE, LONGITUDE};
use super::fields_of;
use crate::climate::raw::PartialStation;
use crate::climate::source::Source;

/// Columns of the ISD list that are needed.
const HISTORY: &[&str] = &["USAF", "WBAN", "STATION NAME", "LAT", "LON", "ELEV(M)"];

/// Whether a text is such a list.
#[must_use]
pub fn is_list(source: &Source) -> bool {
    ghcn(source.line(1)).is_some() || history(source).is_some()
}

/// The station of that number, as a list describes it.
#[must_use]
pub fn find(list: &Source, id: &str) -> Option<PartialStation> {
    if ghcn(list.line(1)).is_some() {
        let lines = list.lines(1).map(|(_, text)| text);
        return lines
            .filter(|l| l.starts_with(id))
            .find_map(ghcn)
            .filter(|s| s.id.as_deref() == Some(id));
    }
    let columns = history(list)?;
    let (usaf, wban) = id.split_once('-').unwrap_or((id, ""));
    let quoted = format!("\"{usaf}\"");
    // A station has a row for each of its lives; the last one is the latest.
    list.lines(2)
        .map(|(_, text)| text)
        .filter(|l| l.contains(&quoted) || l.starts_with(usaf))
        .filter_map(|l| {
            let fields = fields_of(l, b',');
            let get = |i: usize| Some(fields.get(*columns.get(i)?)?.as_str());
            let fits = get(0) == Some(usaf) && (wban.is_empty() || get(1) == Some(wban));
            let (latitude, longitude) = (LATITUDE.of(get(3)?)?, LONGITUDE.of(get(4)?)?);
            // 0 N 0 E and -999 m stand for "not known".
            let known = fits && (latitude != 0.0 || longitude != 0.0);
            known.then(|| PartialStation {
                id: Some(id.to_owned()),
                name: get(2).map(str::to_owned),
                latitude_deg: Some(latitude),
                longitude_deg: Some(longitude),
                elevation: get(5).and_then(|t| ELEVATION.of(t)),
                ..PartialStation::default()
            })
        })
        .last()
}

/// Where the needed columns of the ISD list are.
fn history(source: &Source) -> Option<Vec<usize>> {
    let names = fields_of(source.line(1), b',');
    HISTORY
        .iter()
        .map(|wanted| names.iter().position(|n| n == wanted))
        .collect()
}

/// One line of the GHCN list.
fn ghcn(line: &str) -> Option<PartialStation> {
    let id = line.get(..11)?;
    if !id
        .bytes()
        .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'_')
    {
        return None;
    }
    // A decimal point in each: months of fixed-width readings have none.
    let number = |cells: std::ops::Range<usize>, fact: &Fact| {
        let text = line.get(cells)?.trim();
        fact.of(text).filter(|_| text.contains('.'))
    };
    let name: String = line.chars().skip(41).take(30).collect();
    Some(PartialStation {
        id: Some(id.to_owned()),
        latitude_deg: Some(number(12..20, &LATITUDE)?),
        longitude_deg: Some(number(21..30, &LONGITUDE)?),
        elevation: number(31..37, &ELEVATION),
        name: Some(name.trim().to_owned()).filter(|n| !n.is_empty()),
        ..PartialStation::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Source {
        Source::from_bytes("list", text.as_bytes().to_vec()).unwrap()
    }

    /// Catches a column off by one, a missing height read as one, and the wrong station.
    #[test]
    fn the_ghcn_list() {
        let list = source(
            "ACW00011604  17.1167  -61.7833   10.1    ST JOHNS COOLIDGE FLD                       \n\
             ASN00001011 -16.0497  124.9500 -999.9    PANTA DOWNS                                 \n\
             USW00094846  41.9603  -87.9317  204.8 IL CHICAGO OHARE INTL AP\n",
        );
        assert!(is_list(&list));
        let s = find(&list, "USW00094846").unwrap();
        assert_eq!(
            (s.latitude_deg, s.longitude_deg, s.elevation),
            (Some(41.9603), Some(-87.9317), Some(204.8))
        );
        assert_eq!(s.name.as_deref(), Some("CHICAGO OHARE INTL AP"));
        assert_eq!(find(&list, "ASN00001011").unwrap().elevation, None);
        assert_eq!(find(&list, "USW00000000"), None);
        assert_eq!(find(&list, "USW"), None);
    }

    /// Catches a station of the same number but another second one, and 0 N 0 E taken for a place.
    #[test]
    fn the_isd_list() {
        let list = source(
            "\"USAF\",\"WBAN\",\"STATION NAME\",\"CTRY\",\"STATE\",\"ICAO\",\"LAT\",\"LON\",\"ELEV(M)\",\"BEGIN\",\"END\"\n\
             \"007018\",\"99999\",\"WXPOD 7018\",\"\",\"\",\"\",\"+00.000\",\"+000.000\",\"+7018.0\",\"20110309\",\"20130730\"\n\
             \"725300\",\"94846\",\"CHICAGO, O'HARE\",\"US\",\"IL\",\"KORD\",\"+41.960\",\"-087.932\",\"+0204.8\",\"19461001\",\"20250101\"\n\
             \"725300\",\"99999\",\"ELSEWHERE\",\"US\",\"IL\",\"\",\"+42.000\",\"-088.000\",\"-0999.0\",\"20000101\",\"20031231\"\n",
        );
        assert!(is_list(&list));
        let s = find(&list, "725300-94846").unwrap();
        assert_eq!(
            (s.latitude_deg, s.longitude_deg, s.elevation),
            (Some(41.96), Some(-87.932), Some(204.8))
        );
        assert_eq!(s.name.as_deref(), Some("CHICAGO, O'HARE"));
        assert_eq!(find(&list, "725300-99999").unwrap().elevation, None);
        assert_eq!(find(&list, "007018-99999"), None);
        assert_eq!(find(&list, "111111-11111"), None);
    }
}
