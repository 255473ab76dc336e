"""The rebuild book and every rendering of documents: HTML blocks, the PDF, labels."""
