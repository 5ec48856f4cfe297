//! What a judged plan or a weighing means: which targets are missed, what stands in the way, which washers would cure what.

pub mod in_the_way;
pub mod lead_point;
pub mod practice;
pub mod team;
pub mod twist;
