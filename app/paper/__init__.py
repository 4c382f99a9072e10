"""The papers: sheets for the bench as plain drawings in mm, and the one painter that puts them on paper."""
