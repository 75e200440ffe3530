//! What Safe Harbor lets stand of a ZIP code.

/// Areas of three digits in which 20,000 people or fewer live. Its source stands in the file.
const RESTRICTED: &str = include_str!("zip_restricted.txt");

/// The first three digits of a ZIP code, or `000` where too few people share them
/// (45 CFR 164.514(b)(2)(i)(B)).
pub(super) fn area(zip: &str) -> Option<&str> {
    let first = zip.get(..3)?;
    let mut restricted =
        RESTRICTED.lines().filter(|line| !line.starts_with('#')).flat_map(str::split_whitespace);
    Some(if restricted.any(|area| area == first) { "000" } else { first })
}

#[cfg(test)]
mod tests {
    use super::area;

    #[test]
    fn three_digits_stay_where_enough_people_share_them() {
        assert_eq!(area("44113"), Some("441"));
        assert_eq!(area("03601"), Some("000"));
        assert_eq!(area("89312"), Some("000"));
    }
}
