-- Cards found in a photo when it was sorted, kept for measuring it.
ALTER TABLE delivery_photos ADD COLUMN cards_json TEXT;
