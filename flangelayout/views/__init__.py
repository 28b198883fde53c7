"""From a flange to drawings and sheets: what is shown, where it stands and what it says."""
