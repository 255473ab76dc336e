"""One voice for numbers and words: view objects become documents; pictures become SVG."""
