"""The cautions on papers: the same words as on the crew's pages."""

from jobs.cautions import Caution, of

__all__ = ["Caution", "of"]
