"""Many jobs at once: from files, folders and lists to packets on all cores, redoing only what changed."""
