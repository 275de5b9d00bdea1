"""What to do about it: rulings, courses, fates, the visit."""
