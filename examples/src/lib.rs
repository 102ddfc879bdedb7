//! The programs that join optics, solar and tides into the job.
