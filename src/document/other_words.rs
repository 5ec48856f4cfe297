//! Other words people use for a setting, and the nearest known name for a misspelt one.

/// Words that are far from ours in letters but near in meaning; used only where the second is a setting.
const OTHER_WORDS: &[(&str, &str)] = &[
    ("adjusters", "seat"),
    ("allowed", "takes"),
    ("amount", "count"),
    ("arms", "x"),
    ("ballast", "lead"),
    ("bottom_weight", "minimum"),
    ("chassis", "kart"),
    ("corners", "scales"),
    ("cross_weight", "cross"),
    ("direction", "y"),
    ("fixed", "locked"),
    ("fl", "lf"),
    ("fr", "rf"),
    ("front_left", "lf"),
    ("front_right", "rf"),
    ("front_track", "track_front"),
    ("gas", "fuel"),
    ("goal", "aim"),
    ("height", "z"),
    ("kinds", "takes"),
    ("length", "wheelbase"),
    ("limit", "capacity"),
    ("lock", "locked"),
    ("max", "capacity"),
    ("max_weight", "capacity"),
    ("min", "minimum"),
    ("min_weight", "minimum"),
    ("minimum_weight", "minimum"),
    ("most", "capacity"),
    ("mounted", "fitted"),
    ("nose", "front"),
    ("number", "count"),
    ("petrol", "fuel"),
    ("pieces", "count"),
    ("pilot", "driver"),
    ("positions", "mounts"),
    ("preferences", "goals"),
    ("qty", "count"),
    ("quantity", "count"),
    ("readings", "scales"),
    ("rear_left", "lr"),
    ("rear_right", "rr"),
    ("rear_track", "track_rear"),
    ("rl", "lr"),
    ("size", "thickness"),
    ("slots", "mounts"),
    ("target", "aim"),
    ("thick", "thickness"),
    ("tol", "within"),
    ("tolerance", "within"),
    ("track", "track_front"),
    ("value", "aim"),
    ("wedge", "cross"),
    ("weighted", "weighed"),
    ("weight", "mass"),
    ("weights", "lead"),
    ("width", "track_front"),
];

/// Letters that may differ in a misspelt name; three would join words that have nothing in common.
const MOST_DIFFERENT: usize = 2;

/// The known name to suggest for `word`.
pub(super) fn similar<'a>(word: &str, known: impl Iterator<Item = &'a str> + Clone) -> Option<String> {
    let plain = word.trim().to_lowercase().replace([' ', '-'], "_");
    let meant =
        OTHER_WORDS.iter().find(|(other, ours)| *other == plain && known.clone().any(|one| one == *ours));
    if let Some((_, ours)) = meant {
        return Some((*ours).into());
    }
    let letters = plain.chars().count();
    known
        .filter(|name| name.chars().count().abs_diff(letters) <= MOST_DIFFERENT)
        .map(|name| (strsim::osa_distance(&plain, &name.to_lowercase().replace([' ', '-'], "_")), name))
        // A word of one or two letters is within two letters of everything short.
        .filter(|(distance, name)| {
            *distance <= MOST_DIFFERENT && *distance < name.chars().count().min(letters)
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name.into())
}
