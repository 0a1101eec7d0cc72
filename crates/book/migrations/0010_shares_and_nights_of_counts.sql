-- Counts that are a share (hits of the points of a quadrat, cover in per cent, leaves that hold any) and counts of traps by the night.

ALTER TABLE counts ADD COLUMN out_of INTEGER CHECK (out_of > 0);
ALTER TABLE counts ADD COLUMN nights REAL CHECK (nights > 0);
