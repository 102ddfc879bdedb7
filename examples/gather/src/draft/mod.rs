//! Places and seats from waypoints, as a draft of a scenario.
