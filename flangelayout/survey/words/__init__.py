"""What a survey found, said: fact by fact in sentences, in lines of text, as a document, as a working."""
